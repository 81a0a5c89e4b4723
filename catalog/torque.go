package catalog

import (
	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// newtonMetre is one N m.
const newtonMetre measure.Torque = 1000

// usualTorques are what the joints take for the most part: common practice,
// from memory. Joints that differ too much from fork to fork are left out.
var usualTorques = map[string]struct{ least, most measure.Torque }{
	"drain_screw": {1 * newtonMetre, 10 * newtonMetre},
	"pinch_bolt":  {1 * newtonMetre, 10 * newtonMetre}, // the small ones
	"bottom_bolt": {10 * newtonMetre, 60 * newtonMetre},
	"base_valve":  {20 * newtonMetre, 80 * newtonMetre}, // the large ones 60 and more
}

// UnusualTorque questions a torque that is unusual for its joint: a decimal
// mark or a unit misread, or another bolt's line in the manual. The zero
// Message has nothing to ask. The maker's manual decides: a question is no
// ground to refuse the value.
func UnusualTorque(joint string, t measure.Torque) fault.Message {
	usual, known := usualTorques[joint]
	switch {
	case !known:
		return fault.Message{}
	case t < usual.least:
		return fault.Say("catalog.torque_low", t, usual.least, usual.most)
	case t > usual.most:
		return fault.Say("catalog.torque_high", t, usual.least, usual.most)
	}
	return fault.Message{}
}
