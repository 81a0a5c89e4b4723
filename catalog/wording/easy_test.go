package wording

import (
	"slices"
	"strings"
	"testing"

	"forkstock/catalog"
)

// easy are the plain words of a price list for each role, English, American
// and German: what nobody should have to explain. A "?" is uncertain: the words
// are used for other things too. Common practice, no source; see the notes of
// the trade.
var easy = map[catalog.Role]string{
	catalog.OilSeal: `fork seal, Fork oil seal, oil seal fork, fork leg seal, Gabelsimmerring, Gabel-Simmerring, Gabeldichtring, Simmerring Gabel,
		Wellendichtring Gabel, Dichtring Telegabel, Standrohrdichtring, Tauchrohrdichtring, seal 41x54x11?, Simmerring 41x54x11?`,
	catalog.Wiper: `dust seal, fork dust seal, fork wiper, dust wiper, wiper ring, dust cap, dust cover, dust excluder, dust scraper, scraper ring fork,
		Staubkappe, Gabelstaubkappe, Staubabstreifer, Schmutzabstreifer Gabel, Abstreifring Gabel, Staubschutzring`,
	catalog.TubeBushing: `inner fork bushing, fork inner bushing, fork tube bushing, stanchion bushing, bushing stanchion, inner tube bush,
		Gleitbuchse Standrohr, Standrohr-Gleitbuchse, Standrohrbuchse, Standrohrgleitbuchse, Gleitbuchse innen Gabel, Gabelgleitbuchse innen,
		Innenrohrbuchse, Gleitlager Standrohr, Gleitbuchse für Standrohr`,
	catalog.LowerBushing: `outer fork bushing, fork outer bushing, outer tube bushing, bushing lower fork leg, Slider bushing?, fork slider bushing?,
		slider bush?, Gleitbuchse Tauchrohr, Tauchrohr-Gleitbuchse, Tauchrohrgleitbuchse, Gabel Tauchrohrbuchse, Gleitbuchse außen Gabel,
		Außenrohrbuchse Gabel, Gleitlager Tauchrohr`,
	catalog.BackupWasher: `fork backup washer, back-up ring fork, fork seal washer, fork oil seal washer, seal spacer fork, spacer washer fork seal,
		Stützscheibe Gabel, Stützring Gabelsimmerring, Distanzscheibe Gabel, Stützscheibe 41x53x2?`,
	catalog.Clip: `fork circlip, fork snap ring, snapring fork, retaining ring fork seal, retainer ring fork seal, fork seal retainer ring, stopper ring fork,
		stop ring fork, seal retaining clip?, fork seal clip, fork seal retaining clip, wire clip fork seal, internal circlip 52 mm fork,
		Sprengring Gabel, Sprengring 54x1.5?, Sicherungsring Gabelsimmerring, Haltering Gabelsimmerring, Drahtsprengring Gabel, Sprengring?, Seal clip?`,
	catalog.BottomBolt: `bottom bolt, fork bottom bolt, bolt bottom fork leg, damper rod bolt, damper bolt, Allen bolt fork bottom?, socket bolt fork bottom?, Bodenschraube, Bodenschraube Gabel, Dämpferschraube, Dämpferrohrschraube, Zentralschraube Gabel, Schraube Gabel unten?,
		Gabelschraube unten?, Innensechskantschraube Gabelboden?, Innensechskantschraube Gabel unten M8x30?`,
	catalog.BottomWasher: `bottom bolt washer, damper bolt washer, fork bottom washer, copper washer fork bottom bolt, copper washer?, crush washer?,
		sealing washer copper?, copper sealing ring?, compression washer copper?, Kupferdichtring?, Kupferring?, Kupferscheibe?, Kupferdichtung?, Cu-Dichtring?,
		Kupferdichtscheibe?, Aludichtring?, Alu-Dichtring?, Dichtring Bodenschraube, Kupferring Bodenschraube, Kupferdichtring Dämpferschraube`,
	catalog.DrainScrew: `fork drain screw, drain plug fork?, fork drain plug?, Ablassschraube Gabel, Ölablassschraube Tauchrohr, Ablaßschraube Gabelholm,
		Ablaufschraube Gabel, drain screw M6 fork leg`,
	catalog.DrainWasher: `fork drain screw washer, drain plug washer fork, Dichtring Ablassschraube Gabel,
		Kupferring Ablassschraube Gabel, Dichtring Ölablassschraube Gabel`,
	catalog.CapORing: `fork cap o-ring, o-ring fork cap, fork top cap o-ring, O-ring fork top bolt, O-Ring Gabelstopfen,
		O-Ring Gabeldeckel, O-Ring Verschlussschraube Gabel, Gabelstopfen O-Ring`,
	"oil_lock":       `oil lock piece, oil-lock piece fork, oil lock collar, oil lock valve, Ölstopphülse, Ölstoppstück Gabel`,
	"protector":      `fork protector, fork guard, fork slider protector, fork leg guard, Gabelschutz, Gabelprotektor, Standrohrschutz, Tauchrohrschutz, Schutzkappe Gabel`,
	"gaiter":         `fork gaiter, fork gaiters, fork gator, fork boot, fork boots rubber, fork bellows, Faltenbalg Gabel, Gabelfaltenbalg, Gabelbalg, Gabelmanschette`,
	spring:           `fork spring, fork springs progressive, front fork spring, main spring fork, Gabelfeder, Gabelfedern, Feder Gabel, Telegabelfeder`,
	topoutSpring:     `top-out spring fork, topout spring fork, top out spring fork, rebound spring fork, Ausfederanschlag Gabel, Zuganschlagfeder Gabel`,
	spacer:           `preload spacer fork, fork spring spacer, preload tube fork, Vorspannhülse Gabel, Distanzhülse Gabelfeder, Vorspannrohr Gabelfeder`,
	"piston_ring":    `piston ring fork damper, Kolbenring Dämpferrohr Gabel, Kolbenring Gabel`,
	"bladder":        `fork bladder, bladder fork cartridge, Blase Gabel, Ausgleichsblase Gabel`,
	"air_valve":      `fork air valve, air valve fork cap, Luftventil Gabel, Füllventil Gabel`,
	baseValveORing:   `base valve o-ring fork, foot valve o-ring fork, O-Ring Bodenventil Gabel, O-Ring Fußventil Gabel`,
	"cartridge_seal": `cartridge seal fork, fork cartridge seal, Kartuschendichtring Gabel, Kartuschendichtung Gabel`,
	catalog.Oil:      `fork oil 10W, fork fluid 5W 1 litre, front fork oil 15W, Gabelöl 10W, Telegabelöl 10W 1 L, Dämpferöl Gabel 5W`,
	catalog.Kit: `fork seal kit, fork rebuild kit, fork service kit, fork repair kit, fork overhaul kit, fork bushing kit, seal and wiper kit fork, Gabeldichtsatz,
		Gabel-Reparatursatz, Gabel Revisionssatz, Dichtsatz Gabel, Gabelüberholsatz, Gabelservicesatz`,
	tool:       `fork seal driver, seal driver, fork seal installer, damper rod holder tool fork, Gabelsimmerringtreiber, Simmerring-Eintreiber Gabel, Eintreibwerkzeug Gabelsimmerring`,
	consumable: `seal grease, fork seal grease, Dichtungsfett Gabel, Montagefett`,
}

// notEasy are words that look like those above and are of other things; of
// those a role would be wrong.
const notEasy = `pinch bolt fork bottom, Klemmschraube Gabel unten, bottom yoke bolt fork, triple clamp bolt bottom fork, Schraube Gabelbrücke unten,
	oil drain plug M14, drain plug engine, Ablassschraube, spring clip, hose clip, clip, bushing, Buchse, Gleitbuchse, washer, Unterlegscheibe M8, ring, seal,
	Standrohr 41 mm, Tauchrohr links, fork tube, fork slider, stanchion, fork cap, Gabelstopfen, Kupferpaste, copper grease, spring washer M8, Federring M8,
	Ventil, Schutzblech, stop switch, damper rod, Bodenventil, base valve, oil lock, Kupferrohr, fork lower leg bottom, rear drain screw`

// TestEasy holds that the reader knows the plain words for every role.
func TestEasy(t *testing.T) {
	for _, role := range catalog.Roles {
		if easy[role] == "" && role != catalog.Other {
			t.Errorf("%s: no words to try", role)
		}
		for text := range strings.SplitSeq(easy[role], ",") {
			text = strings.Join(strings.Fields(text), " ")
			bare, unsure := strings.CutSuffix(text, "?")
			if got := Read(bare, Known{}).Role; text != "" && (got.Value != role || got.Sure() == unsure) {
				t.Errorf("%s: got %q (sure: %v), want %q (sure: %v)", bare, got.Value, got.Sure(), role, !unsure)
			}
		}
	}
	for text := range strings.SplitSeq(notEasy, ",") {
		text = strings.Join(strings.Fields(text), " ")
		if got := Read(text, Known{}).Role; got.Made() && !(text == "oil lock" && slices.Contains(catalog.Roles, got.Value)) {
			t.Errorf("%s: got %q (sure: %v), want none", text, got.Value, got.Sure())
		}
	}
}
