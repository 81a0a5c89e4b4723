package gs1

import (
	"net/netip"
	"slices"
	"strings"

	"forkstock/internal/fault"
)

// ParseLink reads the elements of a GS1 Digital Link, a web address such as
// https://id.example/01/09520123456788/10/B-42?17=310200: a key in the path,
// last in it what qualifies the key, in its order; other elements as a query.
// A GTIN of 8, 12 or 13 digits is filled up, as older addresses leave the zeros
// out. Nothing is fetched. Errors are of kind invalid.
//
// Source: GS1 Digital Link Standard: URI Syntax, 1.3; names in place of numbers
// (/gtin/...), which 1.2 gave up, are not taken.
func ParseLink(uri string) (Elements, error) {
	place, query, ok := locate(uri)
	if !ok {
		return nil, notLink(uri)
	}
	steps := strings.Split(place, "/")
	at := keyIn(steps)
	if at < 0 {
		return nil, notLink(uri)
	}
	var all Elements
	var path []string // what qualifies the key
	key := formats[steps[at]]
	for i := at; i < len(steps); i += 2 {
		if err := all.link(steps[i], steps[i+1], uri); err != nil {
			return nil, err.WithHint("gs1.hint")
		}
		if i > at {
			path = append(path, steps[i])
		}
	}
	for _, word := range strings.Split(query, "&") {
		ai, value, given := strings.Cut(word, "=")
		if !given || !digits(ai) {
			continue // for others than us
		}
		f, known := formats[ai]
		if _, twice := all.Get(ai); !known || !f.data || twice || key.qualifiedBy(append(path, ai)) {
			return nil, notLink(uri)
		}
		if err := all.link(ai, strings.ReplaceAll(value, "+", " "), uri); err != nil {
			return nil, err.WithHint("gs1.hint")
		}
	}
	return all, nil
}

func notLink(uri string) *fault.Error {
	return fault.New(fault.Invalid, "gs1.no_link", shown(uri, 60)).WithHint("gs1.hint")
}

// link adds an element with the value that an address writes for it.
func (es *Elements) link(ai, text, uri string) *fault.Error {
	value, ok := unescape(text)
	if !ok {
		return notLink(uri)
	}
	if ai == "01" {
		value, _ = GTIN14(value)
	}
	return es.add(formats[ai], value)
}

// locate takes scheme, host and what is behind # off an address.
func locate(uri string) (path, query string, ok bool) {
	for _, r := range uri {
		if r <= ' ' || r > '~' || strings.ContainsRune("<>{}\\^`|\"", r) {
			return "", "", false
		}
	}
	rest, found := cutScheme(uri)
	host, rest, slash := strings.Cut(rest, "/")
	rest, _, _ = strings.Cut(rest, "#")
	path, query, _ = strings.Cut(rest, "?")
	return path, query, found && slash && isHost(host)
}

func cutScheme(uri string) (rest string, ok bool) {
	scheme, rest, ok := strings.Cut(uri, "://")
	return rest, ok && (scheme == strings.ToLower(scheme) || scheme == strings.ToUpper(scheme)) &&
		(strings.EqualFold(scheme, "http") || strings.EqualFold(scheme, "https"))
}

// isHost reports whether text is a name or number of a host, with or without
// port.
func isHost(text string) bool {
	if inner, ok := strings.CutPrefix(text, "["); ok {
		inner, _, ok = strings.Cut(inner, "]")
		address, err := netip.ParseAddr(inner)
		return ok && err == nil && address.Zone() == ""
	}
	name, port, has := strings.Cut(text, ":")
	if name == "" || has && !digits(port) {
		return false
	}
	return strings.Trim(name, "-.0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz") == ""
}

// keyIn gives where in a path the key stands: the last place from which on all
// is a key and what may qualify it. -1 where there is none.
func keyIn(steps []string) int {
	for at := len(steps) - 2; at >= 0; at -= 2 {
		f, known := formats[steps[at]]
		if !known || !f.key {
			continue
		}
		var path []string
		for i := at + 2; i < len(steps); i += 2 {
			path = append(path, steps[i])
		}
		if f.leads(path) {
			return at
		}
	}
	return -1
}

// leads reports whether path is made of the AIs of one of f's, in their order.
func (f *format) leads(path []string) bool {
	if len(path) == 0 {
		return true
	}
	for _, allowed := range f.paths {
		next := 0
		for _, ai := range allowed {
			if next < len(path) && path[next] == ai {
				next++
			}
		}
		if next == len(path) {
			return true
		}
	}
	return false
}

// qualifiedBy reports whether one of the paths of f holds all of ais, in
// whichever order: then they belong into the path, not into a query.
func (f *format) qualifiedBy(ais []string) bool {
	return slices.ContainsFunc(f.paths, func(allowed []string) bool {
		for _, ai := range ais {
			if !slices.Contains(allowed, ai) {
				return false
			}
		}
		return true
	})
}
