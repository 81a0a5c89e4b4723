module forkstock

go 1.26.0
