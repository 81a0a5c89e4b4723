//go:build trials

package reorder

import "testing"

// The whole of the tables that the ordinary tests have rows of; they lie
// beside the project and have to be there.
const trials = "../../../shared/checks/demand/"

func TestTrialPoisson(t *testing.T) { checkPoisson(t, table(t, trials+"poisson.csv", ",", 180)) }

func TestTrialNegativeBinomial(t *testing.T) {
	checkNegativeBinomial(t, table(t, trials+"negbin.csv", ",", 420))
}

func TestTrialReview(t *testing.T) { checkReview(t, table(t, trials+"rs_poisson.csv", ",", 234)) }
