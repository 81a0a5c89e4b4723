package catalog

import (
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Tightening is a tightening value, of a joint of a fork or of a bike, with
// the manual that it stands in. There is none without.
type Tightening struct {
	ID      string
	Fork    string // id; empty: of a bike
	Fitment string // id; empty: of a fork
	Joint   string // of ForkJoints or of BikeJoints
	Torque  measure.Torque
	Entered string // as printed, where not in N m
	Manual  string // title and edition
	Page    string
}

// The joints that tightening values are told of: those of the fork itself, and
// those that a bike decides.
var (
	ForkJoints = []string{
		"cap", "bottom_bolt", "drain_screw", "cartridge", "damper_rod", "base_valve", "air_valve", "protector",
	}
	BikeJoints = []string{"upper_clamp", "lower_clamp", "pinch_bolt", "axle", "caliper", "brake_hose", "mudguard"}
)

// Joints are all of them, those of the fork first.
var Joints = slices.Concat(ForkJoints, BikeJoints)

func (t Tightening) check() error {
	joints, other := ForkJoints, BikeJoints
	if t.Fork == "" {
		joints, other = BikeJoints, ForkJoints
	}
	switch {
	case t.Manual == "":
		return fault.New(fault.Invalid, "catalog.no_manual").WithHint("catalog.no_manual.hint")
	case slices.Contains(other, t.Joint) && t.Fork == "":
		return fault.New(fault.Invalid, "catalog.joint_of_fork", fault.Say("joint."+t.Joint)).WithHint("catalog.joint_of_fork.hint")
	case slices.Contains(other, t.Joint):
		return fault.New(fault.Invalid, "catalog.joint_of_bike", fault.Say("joint."+t.Joint)).WithHint("catalog.joint_of_bike.hint")
	}
	return firstError(checkChoice("joint", t.Joint, joints), checkTexts(
		field{"manual", t.Manual, mostText}, field{"page", t.Page, mostName}, field{"torque", t.Entered, mostName}))
}

// SetTightening keeps a value; person is an id. Unless again, a value that is
// told of the joint already is a Conflict. Errors: Invalid, Conflict, NotFound
// (again, and none is told).
func SetTightening(ctx context.Context, tx *store.Tx, t Tightening, person string, again bool) error {
	if err := t.check(); err != nil {
		return err
	}
	if again {
		if err := DropTightening(ctx, tx, t); err != nil {
			return err
		}
	} else if old, err := t.told(ctx, tx); err != nil || len(old) > 0 {
		if err == nil {
			err = fault.New(fault.Conflict, "catalog.torque_twice", fault.Say("joint."+t.Joint), old[0].Torque).
				WithHint("catalog.torque_twice.hint")
		}
		return err
	}
	var err error
	if t.ID, err = tx.NewID(); err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `INSERT INTO tightening (id, fork, fitment, joint, torque_mnm, entered, manual, page, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`, t.ID, textOrNull(t.Fork), textOrNull(t.Fitment), t.Joint, int64(t.Torque),
		t.Entered, t.Manual, t.Page, person, store.Stamp(tx.Now))
	return err
}

// DropTightening takes the value of t's joint back. Error: NotFound where none
// is told.
func DropTightening(ctx context.Context, tx *store.Tx, t Tightening) error {
	old, err := t.told(ctx, tx)
	if err != nil {
		return err
	}
	if len(old) == 0 {
		return fault.New(fault.NotFound, "catalog.torque_absent", fault.Say("joint."+t.Joint)).WithHint("catalog.torque_absent.hint")
	}
	_, err = tx.Exec(ctx, `DELETE FROM tightening WHERE id = $1`, old[0].ID)
	return err
}

// told gives the value that is told of t's joint, if any.
func (t Tightening) told(ctx context.Context, tx *store.Tx) ([]Tightening, error) {
	return queryTightenings(ctx, tx, `(t.fork = $1 OR t.fitment = $2) AND t.joint = $3`, textOrNull(t.Fork),
		textOrNull(t.Fitment), t.Joint)
}

// Tightenings gives the values of a fork and of some fitments that are told, in
// the order of Joints.
func Tightenings(ctx context.Context, tx *store.Tx, fork string, fitments ...string) ([]Tightening, error) {
	all, err := queryTightenings(ctx, tx, `t.fork = $1`, textOrNull(fork))
	for _, f := range fitments {
		if err != nil {
			return nil, err
		}
		var some []Tightening
		some, err = queryTightenings(ctx, tx, `t.fitment = $1`, f)
		all = append(all, some...)
	}
	slices.SortStableFunc(all, func(a, b Tightening) int {
		return slices.Index(Joints, a.Joint) - slices.Index(Joints, b.Joint)
	})
	return all, err
}

func queryTightenings(ctx context.Context, tx *store.Tx, where string, args ...any) ([]Tightening, error) {
	var all []Tightening
	err := tx.Each(ctx, func(scan store.Scan) error {
		var t Tightening
		err := scan(&t.ID, &t.Fork, &t.Fitment, &t.Joint, &t.Torque, &t.Entered, &t.Manual, &t.Page)
		all = append(all, t)
		return err
	}, `SELECT t.id, coalesce(t.fork, ''), coalesce(t.fitment, ''), t.joint, t.torque_mnm, t.entered, t.manual, t.page
		FROM tightening t WHERE `+where+` ORDER BY t.id`, args...)
	return all, err
}
