package web

import (
	"context"
	"io"
	"net/http"
	"strings"
	"testing"

	"forkstock/internal/fault"
)

// Loopback addresses: 127.0.0.0/8 (RFC 1122, 3.2.1.3) and ::1 (RFC 4291,
// 2.5.3).
func TestLoopback(t *testing.T) {
	for _, tt := range []struct {
		listen, want string
		kind         fault.Kind
	}{
		{"", "127.0.0.1:8039", ""},
		{":0", "127.0.0.1:0", ""},
		{"localhost:80", "127.0.0.1:80", ""},
		{"LocalHost:80", "127.0.0.1:80", ""},
		{"127.0.0.1:65535", "127.0.0.1:65535", ""},
		{"127.9.9.9:1", "127.9.9.9:1", ""},
		{"[::1]:8039", "[::1]:8039", ""},
		{"[::ffff:127.0.0.1]:1", "[::ffff:127.0.0.1]:1", ""},
		{"0.0.0.0:8039", "", fault.Denied},
		{"[::]:8039", "", fault.Denied},
		{"192.168.1.7:8039", "", fault.Denied},
		{"shop.example:8039", "", fault.Denied},
		{"localhost.evil.example:80", "", fault.Denied},
		{"127.0.0.1", "", fault.Invalid},
		{"8039", "", fault.Invalid},
		{"127.0.0.1:", "", fault.Invalid},
		{"127.0.0.1:65536", "", fault.Invalid},
		{"127.0.0.1:http", "", fault.Invalid},
		{"127.0.0.1:-1", "", fault.Invalid},
		{"127.0.0.1:080", "", fault.Invalid},
	} {
		got, err := loopback(tt.listen)
		if got != tt.want || fault.KindOf(err) != tt.kind {
			t.Errorf("loopback(%q) = %q, %v, want %q, kind %q", tt.listen, got, err, tt.want, tt.kind)
		}
		if err != nil && fault.Of(err).Hint.IsZero() {
			t.Errorf("loopback(%q): no hint", tt.listen)
		}
	}
}

func TestOwnHost(t *testing.T) {
	for host, want := range map[string]bool{
		"localhost": true, "localhost:8039": true, "LOCALHOST:1": true, "127.0.0.1": true, "127.0.0.1:8039": true,
		"[::1]": true, "[::1]:8039": true,
		"": false, "evil.example": false, "evil.example:8039": false, "localhost.evil.example": false, "127.0.0.1.evil.example": false,
		"192.168.1.7:8039": false, "0.0.0.0:8039": false, "localhost:8039:80": false, "127.1": false, "[::]": false,
	} {
		if got := ownHost(host); got != want {
			t.Errorf("ownHost(%q) = %v, want %v", host, got, want)
		}
	}
}

func TestServe(t *testing.T) {
	open := testShop(t, "en")
	ctx, end := context.WithCancel(t.Context())
	ready, done := make(chan string, 1), make(chan error, 1)
	go func() { done <- Serve(ctx, open, ":0", func(url string) { ready <- url }) }()
	var url string
	select {
	case url = <-ready:
	case err := <-done:
		t.Fatalf("Serve ended: %v", err)
	}
	answer, err := http.Get(url + "api/stock")
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(answer.Body)
	_ = answer.Body.Close()
	if err != nil || answer.StatusCode != 200 || !strings.Contains(string(body), `"NS 41"`) {
		t.Errorf("GET %s: %d %s %v", url, answer.StatusCode, body, err)
	}
	taken := strings.TrimSuffix(strings.TrimPrefix(url, "http://"), "/")
	if err := Serve(ctx, open, taken, nil); fault.KindOf(err) != fault.Busy || fault.Of(err).Hint.IsZero() {
		t.Errorf("a port that is taken: %v, want busy with a hint", err)
	}
	end()
	if err := Serve(ctx, open, "0.0.0.0:0", nil); fault.KindOf(err) != fault.Denied {
		t.Errorf("an address of the network: %v, want denied", err)
	}
	if err := <-done; err != nil {
		t.Errorf("Serve ended with %v", err)
	}
	if answer, err := http.Get(url); err == nil {
		_ = answer.Body.Close()
		t.Error("still serving after the end")
	}
}
