package web

import (
	"context"
	"errors"
	"io/fs"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"strings"
	"syscall"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// Listen is where the pages are served unless something else is asked for.
const Listen = "127.0.0.1:8039"

// Limits of one request. Reading pictures takes seconds each.
const (
	headerTime = 10 * time.Second
	readTime   = time.Minute
	answerTime = 5 * time.Minute
	idleTime   = 2 * time.Minute
	endTime    = 10 * time.Second // for answers under way when the server ends
	headerSize = 64 << 10
)

// Serve serves the pages of a shop at a loopback address ("" means Listen,
// port 0 any free port) until ctx ends, and lets answers under way finish.
// ready, where not nil, is told the address of the first page. Errors: Denied
// (an address that others can reach), Invalid (no address), Busy (the port is
// taken).
func Serve(ctx context.Context, open *shop.Shop, listen string, ready func(url string)) error {
	address, err := loopback(listen)
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return listenFault(address, err)
	}
	server := &http.Server{
		Handler:           Handler(open),
		ReadHeaderTimeout: headerTime, ReadTimeout: readTime, WriteTimeout: answerTime, IdleTimeout: idleTime,
		MaxHeaderBytes: headerSize,
	}
	ended := make(chan error, 1)
	go func() {
		<-ctx.Done()
		late, cancel := context.WithTimeout(context.WithoutCancel(ctx), endTime)
		defer cancel()
		ended <- errors.Join(server.Shutdown(late), server.Close())
	}()
	if ready != nil {
		ready("http://" + listener.Addr().String() + "/")
	}
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return fault.Of(err)
	}
	if err := <-ended; err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return fault.Of(err)
	}
	return nil
}

// loopback gives the address to listen at, which no other machine can reach.
func loopback(listen string) (string, error) {
	if listen == "" {
		listen = Listen
	}
	host, port, err := net.SplitHostPort(listen)
	if err != nil {
		return "", fault.New(fault.Invalid, "web.bad_address", listen).WithHint("web.address.hint", Listen)
	}
	if n, err := strconv.ParseUint(port, 10, 16); err != nil || strconv.FormatUint(n, 10) != port {
		return "", fault.New(fault.Invalid, "web.bad_address", listen).WithHint("web.address.hint", Listen)
	}
	if host == "" || strings.EqualFold(host, "localhost") {
		host = "127.0.0.1"
	}
	if !isLoopback(host) {
		return "", fault.New(fault.Denied, "web.not_loopback", listen).WithHint("web.not_loopback.hint", Listen)
	}
	return net.JoinHostPort(host, port), nil
}

// isLoopback reports whether host is the number of a loopback address.
func isLoopback(host string) bool {
	ip, err := netip.ParseAddr(host)
	return err == nil && ip.Unmap().IsLoopback()
}

// listenFault explains why nothing can listen at an address.
func listenFault(address string, err error) error {
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return fault.New(fault.Busy, "web.port_taken", address).WithHint("web.port_taken.hint").WithCause(err)
	case errors.Is(err, fs.ErrPermission):
		return fault.New(fault.Denied, "web.port_denied", address).WithHint("web.port_taken.hint").WithCause(err)
	}
	return fault.New(fault.Busy, "web.no_listen", address).WithHint("web.port_taken.hint").WithCause(err)
}
