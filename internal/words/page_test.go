package words

import (
	"slices"
	"strings"
	"testing"

	"forkstock/internal/fault"
)

// atKeyboard are the hints that name a command and need no text for pages,
// each with the reason. A page that could show one shows none.
var atKeyboard = map[string]string{
	"findings of check, which no page runs": `audit.aged.hint audit.check_digit.hint audit.check_digit_list.hint audit.code_forms.hint
		audit.code_small.hint audit.code_twice.hint audit.elastomer.hint audit.kit_empty.hint audit.kit_legs.hint audit.number_twice.hint audit.off_leg.hint
		audit.same_years.hint audit.unfilled.hint`,
	"lots, offers, bikes, swaps, kits, oil and torques are told by commands": `catalog.bad_cure.hint catalog.bike_twice.hint
		catalog.cartridge_gap.hint catalog.content_twice.hint catalog.gap_how.hint catalog.item_twice.hint catalog.joint_of_bike.hint
		catalog.joint_of_fork.hint catalog.kit_in_kit.hint catalog.no_bike.hint catalog.no_fill.hint catalog.no_kit.hint
		catalog.no_manual.hint catalog.oil_twice.hint catalog.swap_absent.hint catalog.swap_twice.hint
		catalog.torque_absent.hint catalog.torque_twice.hint inventory.no_lot.hint shop.bike_absent.hint shop.bikes_possible.hint
		shop.content_absent.hint shop.fill_unusual.hint shop.no_change.hint shop.no_pieces.hint shop.not_on_bike.hint
		shop.oil_absent.hint shop.part_or_role.hint shop.rule.hint shop.torque_unusual.hint shop.torque_whose.hint
		shop.years_possible.hint`,
	"orders, lots, kits, invoices and set-asides are told by commands so far": `
		shop.bad_weeks.hint shop.kept.hint shop.kit_unknown.hint
		shop.no_rubber.hint shop.rubber_past.hint shop.short_kit.hint`,
	"said before there is a page": `shop.absent.hint shop.bad_currency.hint shop.bad_language.hint shop.bad_person.hint
		shop.bad_zone.hint shop.no_folder.hint shop.twice.hint store.absent.hint web.address.hint web.not_loopback.hint web.port_taken.hint`,
}

// No page says a command: each text that names one has another for pages, or
// is a hint that pages leave out, for a reason that is noted.
func TestPagesNameNoCommand(t *testing.T) {
	var left []string
	for _, ids := range atKeyboard {
		left = append(left, strings.Fields(ids)...)
	}
	for _, id := range IDs() {
		if strings.HasPrefix(id, "cli.") || strings.HasPrefix(id, "demo.") || !commands[id] {
			continue
		}
		shown := ForPage(fault.Say(id))
		for _, language := range Languages {
			if text := For(language).Text(shown); namesCommand(text) {
				t.Errorf("%s: a page would say %q", id, text)
			}
		}
		if i := slices.Index(left, id); i >= 0 {
			left = slices.Delete(left, i, i+1)
			if !shown.IsZero() {
				t.Errorf("%s is noted as never on a page, and has a text for it", id)
			}
		} else if shown.IsZero() {
			t.Errorf("%s names a command: give it a text web.%s, or note in atKeyboard why no page shows it", id, id)
		}
	}
	if len(left) > 0 {
		t.Errorf("noted, but without a command: %v", left)
	}
}

func TestForPage(t *testing.T) {
	for _, tt := range []struct{ m, want Message }{
		{fault.Say("shop.adopt.no_number.hint"), fault.Say("web.shop.adopt.no_number.hint")},
		{fault.Say("shop.rule.hint"), Message{}},
		{fault.Say("shop.upload.gone.hint"), fault.Say("shop.upload.gone.hint")},
		{fault.Say("role.clip"), fault.Say("role.clip")},
		{fault.Say("shop.adopt.value", fault.Say("shop.name_oil", "F")), fault.Say("shop.adopt.value", fault.Say("web.shop.name_oil", "F"))},
		{Message{}, Message{}},
	} {
		if got, want := ForPage(tt.m).String(), tt.want.String(); got != want {
			t.Errorf("ForPage(%s) = %s, want %s", tt.m, got, want)
		}
	}
}

// TestCommand holds what is taken for a command.
func TestCommand(t *testing.T) {
	for text, want := range map[string]bool{
		"see it: forkstock find X": true, "say --role ROLE": true, "run `forkstock check`": true, "--size says 3": true, "(--net)": true,
		"see it: forkstock take": true, "forkstock send-back X": true, "forkstock order close 3": true,
		"inside forkstock": false, "in forkstock ist etwas": false, "the newer forkstock": false, "a -- b": false, "39--52": false, "wall-mounted": false,
	} {
		if got := namesCommand(text); got != want {
			t.Errorf("command in %q: %v, want %v", text, got, want)
		}
	}
}
