package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// legSlack is how far a size of what runs on the inner tube may be off the leg
// diameter: lists write 41 for 41.3, and 35 for 34.9. Common practice, no
// source.
const legSlack = 500 * measure.Micrometre

// OffLeg tells whether a size cannot be that of what runs on f's inner tube in
// that role: an oil seal, a wiper, a bushing in the outer tube. got is the
// diameter that is off, 0 where none is.
func (f Fork) OffLeg(role Role, size measure.Size) (got measure.Length) {
	switch role {
	case OilSeal, Wiper, LowerBushing:
		if size.Inner != 0 && max(size.Inner-f.Leg, f.Leg-size.Inner) > legSlack {
			return size.Inner
		}
	}
	return 0
}

// offLeg finds places whose size cannot be one for the leg, but for those that
// somebody has measured.
func offLeg(ctx context.Context, tx *store.Tx, _ []Part) (all []Finding, err error) {
	err = eachPlace(ctx, tx, func(f Fork, p Position) error {
		off := f.OffLeg(p.Role, p.Size)
		if off == 0 || p.Fitted == "no" {
			return nil
		}
		said, err := StandingOn(ctx, tx, AboutPlace, p.ID, "size")
		if err == nil && said.Force.How != "bench" {
			all = append(all, find("off_leg", f.Name, []any{f.Name, fault.Say("role." + string(p.Role)), off, f.Leg},
				[]any{words.ShellWord(f.Name), string(p.Role), p.Size.String()}))
		}
		return err
	})
	return all, err
}
