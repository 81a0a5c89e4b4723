package shop

import (
	"cmp"
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Kit is what a kit brings, and what it does for a fork where one is named.
// Against a fork everything is counted for a job on both legs.
type Kit struct {
	Kit         string    `json:"kit"`
	Maker       string    `json:"maker"`
	Description string    `json:"description"`
	Legs        int       `json:"legs"`   // for which one kit is; 0: not told
	Brings      []Content `json:"brings"` // in one kit
	Fork        string    `json:"fork,omitempty"`
	Known       int       `json:"known_places,omitempty"` // of the fork
	PerJob      int64     `json:"per_job,omitempty"`      // kits
	Fits        []Content `json:"fits"`
	Lacks       []Lack    `json:"lacks"`
	Foreign     []Content `json:"foreign"` // does not fit, or is more than the job takes
}

// Name gives the number with its maker, as a command takes it.
func (k Kit) Name() string { return k.Maker + "/" + k.Kit }

// Content is something that a kit brings. Where the kit's maker names no
// number, only role and size are known.
type Content struct {
	Part
	Pieces  int64           `json:"pieces"`
	Leg     string          `json:"leg,omitempty"`     // of the place where it fits
	Verdict catalog.Verdict `json:"verdict,omitempty"` // fits also of what is left over
	Reasons []fault.Message `json:"reasons,omitempty"`
}

// Lack is what a kit leaves out of what a job takes.
type Lack struct {
	Role catalog.Role `json:"role"`
	Leg  string       `json:"leg"`
	Sizes
	Renew   string `json:"renew"`
	Missing int64  `json:"missing"`
	Unit    string `json:"unit"`
}

// Always reports whether the job takes it whatever the inspection says.
func (l Lack) Always() bool { return l.Renew == "always" || l.Renew == "opened" }

// Kit gives what a kit brings, held against a fork where one is named. Errors:
// Invalid (no kit), NotFound, Ambiguous.
func (s *Shop) Kit(ctx context.Context, name, fork string) (Kit, error) {
	var out Kit
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		kit, err := kitNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		if out, err = kitView(ctx, tx, kit); err != nil || fork == "" {
			return err
		}
		f, err := catalog.ForkNamed(ctx, tx, fork)
		if err != nil {
			return err
		}
		places, err := catalog.Positions(ctx, tx, f.ID)
		if err != nil {
			return err
		}
		out.Fork, out.Known = f.Name, len(places)
		return out.serve(ctx, tx, kit, places)
	})
	return out, err
}

func kitNamed(ctx context.Context, tx *store.Tx, name string) (catalog.Part, error) {
	kit, err := catalog.PartNamed(ctx, tx, name)
	if err == nil && kit.Role != catalog.Kit {
		err = fault.New(fault.Invalid, "catalog.no_kit", kit.Name()).WithHint("catalog.no_kit.hint", words.ShellWord(kit.Name()))
	}
	return kit, err
}

func kitView(ctx context.Context, tx *store.Tx, kit catalog.Part) (Kit, error) {
	out := Kit{
		Kit: kit.Number, Maker: kit.Maker, Description: kit.Description, Fits: []Content{}, Lacks: []Lack{}, Foreign: []Content{},
	}
	var err error
	if out.Legs, err = catalog.Legs(ctx, tx, kit.ID); err != nil {
		return out, err
	}
	out.Brings, err = contents(ctx, tx, kit)
	return out, err
}

// contents shows what is in a kit, nothing of any other part.
func contents(ctx context.Context, tx *store.Tx, kit catalog.Part) ([]Content, error) {
	all := []Content{}
	told, err := catalog.Contents(ctx, tx, kit.ID)
	if err != nil {
		return all, err
	}
	for _, c := range told {
		v, err := content(ctx, tx, c)
		if err != nil {
			return all, err
		}
		all = append(all, v)
	}
	return all, nil
}

func content(ctx context.Context, tx *store.Tx, c catalog.Content) (Content, error) {
	if c.Part.ID == "" {
		return Content{Part: Part{Role: c.Part.Role, Sizes: sizes(c.Part.Size, c.Part.Thread), Unit: c.Part.Unit, Bins: []string{}}, Pieces: c.Pieces}, nil
	}
	v, err := view(ctx, tx, c.Part, fault.Message{})
	return Content{Part: v, Pieces: c.Pieces}, err
}

// serve fills in what the kit does for a fork with such places.
func (out *Kit) serve(ctx context.Context, tx *store.Tx, kit catalog.Part, places []catalog.Position) error {
	told, err := catalog.Contents(ctx, tx, kit.ID)
	if err != nil {
		return err
	}
	if places, err = catalog.Doubted(ctx, tx, places, told); err != nil {
		return err
	}
	served := catalog.Serve(told, out.Legs, places)
	out.PerJob = served.Kits
	for _, list := range []struct {
		to   *[]Content
		from []catalog.Use
	}{{&out.Fits, served.Fits}, {&out.Foreign, served.Foreign}} {
		for _, u := range list.from {
			c, err := content(ctx, tx, u.Content)
			if err != nil {
				return err
			}
			c.Leg, c.Verdict, c.Reasons = u.Place, u.Verdict, u.Why
			*list.to = append(*list.to, c)
		}
	}
	out.Lacks = lacks(served)
	return nil
}

// KitFor is a kit that would serve a fork, and what it lacks.
type KitFor struct {
	Part
	Legs   int    `json:"legs"`    // for which one kit is; 0: not told
	PerJob int64  `json:"per_job"` // kits
	Lacks  []Lack `json:"lacks"`
}

// Always gives what it lacks of what a job takes whatever the inspection says.
func (k KitFor) Always() []Lack {
	return slices.DeleteFunc(slices.Clone(k.Lacks), func(l Lack) bool { return !l.Always() })
}

// kitsFor gives the kits that bring nothing that does not fit a fork with such
// places, of which the parts (ids) are those that fit; those that lack least
// first.
func kitsFor(ctx context.Context, tx *store.Tx, parts []string, places []catalog.Position) ([]KitFor, error) {
	all := []KitFor{}
	kits, err := catalog.KitsFor(ctx, tx, parts, places)
	if err != nil {
		return all, err
	}
	for _, k := range kits {
		told, err := catalog.Contents(ctx, tx, k.ID)
		if err != nil {
			return all, err
		}
		legs, err := catalog.Legs(ctx, tx, k.ID)
		if err != nil {
			return all, err
		}
		doubted, err := catalog.Doubted(ctx, tx, places, told)
		if err != nil {
			return all, err
		}
		served := catalog.Serve(told, legs, doubted)
		wrong := func(u catalog.Use) bool { return u.Verdict != catalog.Fits }
		if len(served.Fits) == 0 || slices.ContainsFunc(served.Foreign, wrong) {
			continue
		}
		v, err := view(ctx, tx, k, fault.Message{})
		if err != nil {
			return all, err
		}
		all = append(all, KitFor{v, legs, served.Kits, lacks(served)})
	}
	slices.SortStableFunc(all, func(a, b KitFor) int { return cmp.Compare(len(a.Lacks), len(b.Lacks)) })
	return all, nil
}

func lacks(served catalog.Served) []Lack {
	all := []Lack{}
	for _, l := range served.Lacks {
		p := l.Place
		all = append(all, Lack{p.Role, p.Leg, sizes(p.Size, p.Thread), p.Renew, l.Missing, unit(p.Role, "")})
	}
	return all
}
