package catalog

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Facts in force stand in the columns of their tables; claims tell who says
// so. Which of the claims on a field is in force, one rule says, whatever came
// first (InForce): the last decision of a person; where no decision stands,
// the value that was seen right most often, less what was seen wrong; of equal
// ones the one that was told first. So a list that is taken in later adds its
// word and changes nothing by itself, and a hand that changes a size does.
// Claimed, Saw and Withdraw keep the columns in step with that rule.

// What a claim can be about: the subject is an id of the table of that name.
const (
	AboutPart        = "part"
	AboutPlace       = "place"      // a position
	AboutFit         = "place_part" // subject: FitSubject
	AboutFitment     = "fitment"
	AboutFork        = "fork"
	AboutReplacement = "replacement"
)

// Hows are the kinds of source: a printed list (with its date), a manual (with
// its page), measured on the bench, common practice, told by somebody.
var Hows = []string{"list", "manual", "bench", "practice", "told"}

// Word is whose word a claim is.
type Word struct {
	How     string // of Hows
	Source  string // list and date, manual and page; empty: the person
	Person  string // id
	Decides bool   // a person has decided that it is in force from now on; an imported list decides nothing
}

// Claim is what somebody says of a part, a place, a fit, a bike, a fork or a
// replacement.
type Claim struct {
	Number                       int64 // what the shop calls it
	About, Subject, Field, Value string
	Word
	Name                     string // of the person
	At                       string // store.Stamp
	Decided                  int64  // the highest of a field is the last decision; 0: none
	Right, Wrong             int    // how often it was seen so
	Why                      string // the last thing that was said of seeing it
	Withdrawn                string // the reason; empty while it stands
	WithdrawnBy, WithdrawnAt string
}

// FitSubject is the subject of claims that a part fits a place.
func FitSubject(place, part string) string { return place + " " + part }

// Values of the field "fits".
const (
	yes = "yes"
	no  = "no"
)

func (c Claim) check() error {
	return firstError(checkChoice("how", c.How, Hows), checkTexts(field{"source", c.Source, mostText}, field{"value", c.Value, mostText}))
}

const claimColumns = ` c.number, c.about, c.subject, c.field, c.value, c.how, c.source, c.person, p.name, c.at, c.decided,
	(SELECT count(*) FROM claim_seen s WHERE s.claim = c.number AND s.seen = 'right'),
	(SELECT count(*) FROM claim_seen s WHERE s.claim = c.number AND s.seen = 'wrong'),
	coalesce((SELECT s.why FROM claim_seen s WHERE s.claim = c.number AND s.why <> '' ORDER BY s.seq DESC LIMIT 1), ''),
	c.withdrawn, coalesce(w.name, ''), coalesce(c.withdrawn_at, '')
	FROM claim c CROSS JOIN person p ON p.id = c.person LEFT JOIN person w ON w.id = c.withdrawn_by `

func queryClaims(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Claim, error) {
	var all []Claim
	err := tx.Each(ctx, func(scan store.Scan) error {
		var c Claim
		err := scan(&c.Number, &c.About, &c.Subject, &c.Field, &c.Value, &c.How, &c.Source, &c.Person, &c.Name, &c.At, &c.Decided,
			&c.Right, &c.Wrong, &c.Why, &c.Withdrawn, &c.WithdrawnBy, &c.WithdrawnAt)
		c.Decides = c.Decided > 0
		all = append(all, c)
		return err
	}, query, args...)
	return all, err
}

// Claims gives what was ever claimed of a subject, by number: withdrawn ones
// too.
func Claims(ctx context.Context, tx *store.Tx, about, subject string) ([]Claim, error) {
	return queryClaims(ctx, tx, `SELECT`+claimColumns+`WHERE c.about = $1 AND c.subject = $2 ORDER BY c.number`, about, subject)
}

// claimsOn gives what was ever claimed of one field.
func claimsOn(ctx context.Context, tx *store.Tx, about, subject, name string) ([]Claim, error) {
	return queryClaims(ctx, tx, `SELECT`+claimColumns+`WHERE c.about = $1 AND c.subject = $2 AND c.field = $3 ORDER BY c.number`,
		about, subject, name)
}

// claimsOfEach gives what was ever claimed of a kind of subject, by number,
// where a condition holds between a claim c and k.value, any of some ids.
func claimsOfEach(ctx context.Context, tx *store.Tx, about, where string, ids []string) ([]Claim, error) {
	return queryClaims(ctx, tx, `SELECT`+strings.Replace(claimColumns, "FROM claim c", "FROM json_each($2) k CROSS JOIN claim c", 1)+
		`WHERE c.about = $1 AND `+where+` ORDER BY c.number`, about, idList(ids))
}

// ClaimNumbered gives the claim of a number. Error: NotFound.
func ClaimNumbered(ctx context.Context, tx *store.Tx, number int64) (Claim, error) {
	claims, err := queryClaims(ctx, tx, `SELECT`+claimColumns+`WHERE c.number = $1 ORDER BY c.number`, number)
	if err != nil {
		return Claim{}, err
	}
	if len(claims) == 0 {
		return Claim{}, fault.New(fault.NotFound, "claim.absent", number).WithHint("claim.absent.hint")
	}
	return claims[0], nil
}

// stands reports whether a claim has not been withdrawn.
func (c Claim) stands() bool { return c.Withdrawn == "" }

// InForce gives the claim by which a field has its value, of all claims on it;
// ok is false where none stands.
func InForce(claims []Claim) (force Claim, ok bool) {
	seen := map[string]int{}
	for _, c := range claims {
		if c.stands() {
			seen[c.Value] += c.Right - c.Wrong
		}
	}
	for _, c := range claims {
		if !c.stands() {
			continue
		}
		if !ok || c.Decided > force.Decided || force.Decided == 0 && seen[c.Value] > seen[force.Value] {
			force, ok = c, true
		}
	}
	return force, ok
}

// Claimed keeps what somebody says, and puts it in force where the rule says
// so. What the same source has said before is not kept twice. Somebody's own
// earlier decision on the field is withdrawn by a new one, for they have
// corrected themselves. Errors: Invalid, and as the subject's own.
func Claimed(ctx context.Context, tx *store.Tx, c Claim) (Claim, error) {
	if err := c.check(); err != nil {
		return c, err
	}
	if err := adopt(ctx, tx, c); err != nil {
		return c, err
	}
	c, err := record(ctx, tx, c)
	if err != nil {
		return c, err
	}
	return c, settle(ctx, tx, c)
}

// sameWord reports whether two claims come from one source: the same person
// where neither names another.
func (c Claim) sameWord(o Claim) bool {
	return c.Source == o.Source && (c.Source != "" && c.How == o.How || c.Source == "" && c.Person == o.Person)
}

// record keeps a claim, and leaves the columns as they are.
func record(ctx context.Context, tx *store.Tx, c Claim) (Claim, error) {
	claims, err := claimsOn(ctx, tx, c.About, c.Subject, c.Field)
	if err != nil {
		return c, err
	}
	c.Decided = 0
	var old Claim     // says the same from the same source
	var wrong []Claim // their own earlier decisions
	for _, o := range claims {
		if c.Decides {
			c.Decided = max(c.Decided, o.Decided)
		}
		switch {
		case !o.stands() || !o.sameWord(c):
		case o.Value == c.Value && o.How == c.How:
			old = o
		case o.Value != c.Value && c.Decides && o.Decides && o.Person == c.Person:
			wrong = append(wrong, o)
		}
	}
	if c.Decides {
		c.Decided++
	}
	if old.Number != 0 {
		c.Number, c.At = old.Number, old.At
		_, err = tx.Exec(ctx, `UPDATE claim SET decided = $2 WHERE number = $1`, old.Number, max(old.Decided, c.Decided))
	} else {
		c, err = insert(ctx, tx, c)
	}
	for _, o := range wrong {
		err = firstError(err, withdraw(ctx, tx, o, fmt.Sprintf("→ #%d", c.Number), c.Person))
	}
	return c, err
}

// first keeps the first claim on a field.
func first(ctx context.Context, tx *store.Tx, c Claim) error {
	if c.Decides {
		c.Decided = 1
	}
	_, err := insert(ctx, tx, c)
	return err
}

func insert(ctx context.Context, tx *store.Tx, c Claim) (Claim, error) {
	c.At = store.Stamp(tx.Now)
	_, err := tx.One(ctx, store.Into(&c.Number), `INSERT INTO claim (about, subject, field, value, how, source, person, at, decided)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9) RETURNING number`,
		c.About, c.Subject, c.Field, c.Value, c.How, c.Source, c.Person, c.At, c.Decided)
	return c, err
}

// Saw keeps that somebody has seen a claim to be right or wrong. Error:
// Conflict (it is withdrawn).
func Saw(ctx context.Context, tx *store.Tx, c Claim, right bool, why, person string) error {
	if err := checkTexts(field{"why", why, mostText}); err != nil {
		return err
	}
	if !c.stands() {
		return fault.New(fault.Conflict, "claim.withdrawn", c.Number, c.WithdrawnBy, c.Withdrawn).WithHint("claim.withdrawn.hint")
	}
	seen := "right"
	if !right {
		seen = "wrong"
	}
	if err := adoptFor(ctx, tx, c, person); err != nil {
		return err
	}
	if _, err := tx.Exec(ctx, `INSERT INTO claim_seen (claim, seen, why, person, at) VALUES ($1, $2, $3, $4, $5)`,
		c.Number, seen, why, person, store.Stamp(tx.Now)); err != nil {
		return err
	}
	return settle(ctx, tx, c)
}

// SeenSince reports whether a person has seen a claim to be right, or wrong,
// since a time.
func SeenSince(ctx context.Context, tx *store.Tx, c Claim, right bool, person string, since time.Time) (bool, error) {
	var seq int64
	return tx.One(ctx, store.Into(&seq), `SELECT seq FROM claim_seen
		WHERE claim = $1 AND seen = iif($2, 'right', 'wrong') AND person = $3 AND at >= $4 ORDER BY seq LIMIT 1`,
		c.Number, right, person, store.Stamp(since))
}

// Withdraw takes a claim back, for a reason; it stays readable. What it held
// in force falls back to the next claim that stands, or is not known any more.
// Errors: Invalid (no reason; a fork without leg diameter), Conflict (it is
// withdrawn already).
func Withdraw(ctx context.Context, tx *store.Tx, c Claim, reason, person string) error {
	if reason == "" {
		return fault.New(fault.Invalid, "claim.no_reason").WithHint("claim.no_reason.hint")
	}
	if err := checkTexts(field{"why", reason, mostText}); err != nil {
		return err
	}
	if !c.stands() {
		return fault.New(fault.Conflict, "claim.withdrawn", c.Number, c.WithdrawnBy, c.Withdrawn).WithHint("claim.withdrawn.hint")
	}
	if err := adoptFor(ctx, tx, c, person); err != nil {
		return err
	}
	if err := withdraw(ctx, tx, c, reason, person); err != nil {
		return err
	}
	return settle(ctx, tx, c)
}

// adoptFor adopts what stands in the column of c as the word of somebody else.
func adoptFor(ctx context.Context, tx *store.Tx, c Claim, person string) error {
	c.Value, c.Person = "", person
	return adopt(ctx, tx, c)
}

func withdraw(ctx context.Context, tx *store.Tx, c Claim, reason, person string) error {
	_, err := tx.Exec(ctx, `UPDATE claim SET withdrawn = $2, withdrawn_by = $3, withdrawn_at = $4 WHERE number = $1`,
		c.Number, reason, person, store.Stamp(tx.Now))
	return err
}

// byNumber puts claims that came by several ways in order.
func byNumber(claims []Claim) []Claim {
	slices.SortFunc(claims, func(a, b Claim) int { return int(a.Number - b.Number) })
	return claims
}

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// ClaimsOfPart gives what was ever claimed of a part, of the places that it
// fits or does not, and of what its number replaces, by number.
func ClaimsOfPart(ctx context.Context, tx *store.Tx, p Part) ([]Claim, error) {
	own, err := Claims(ctx, tx, AboutPart, p.ID)
	if err != nil {
		return nil, err
	}
	fits, err := queryClaims(ctx, tx, `SELECT`+claimColumns+`WHERE c.about = $1
		AND c.subject IN (SELECT o.id || ' ' || $2 FROM position o WHERE o.role = $3) ORDER BY c.number`, AboutFit, p.ID, p.Role)
	if err != nil {
		return nil, err
	}
	replaced, err := queryClaims(ctx, tx, `SELECT`+claimColumns+`WHERE c.about = $1 AND c.subject IN (
		SELECT id FROM replacement WHERE maker_norm = $2 AND number_norm = $3
		UNION SELECT id FROM replacement WHERE by_maker_norm = $2 AND by_number_norm = $3) ORDER BY c.number`,
		AboutReplacement, Normal(p.Maker), Normal(p.Number))
	return byNumber(slices.Concat(own, fits, replaced)), err
}

// ClaimsOfFork gives what was ever claimed of a fork, its places, the parts
// that fit them and the bikes that carry it, by number.
func ClaimsOfFork(ctx context.Context, tx *store.Tx, fork string) ([]Claim, error) {
	all, err := queryClaims(ctx, tx, `SELECT`+claimColumns+`WHERE c.about = $1 AND c.subject = $4
		OR c.about = $2 AND c.subject IN (SELECT id FROM position WHERE fork = $4)
		OR c.about = $3 AND c.subject IN (SELECT id FROM fitment WHERE fork = $4) ORDER BY c.number`,
		AboutFork, AboutPlace, AboutFitment, fork)
	if err != nil {
		return nil, err
	}
	places, err := Positions(ctx, tx, fork)
	if err != nil {
		return nil, err
	}
	for _, p := range places {
		fits, err := claimsOfFits(ctx, tx, p.ID)
		if err != nil {
			return nil, err
		}
		all = append(all, fits...)
	}
	return byNumber(all), nil
}

// claimsOfFits gives what was ever claimed of the parts for a place.
func claimsOfFits(ctx context.Context, tx *store.Tx, place string) ([]Claim, error) {
	return queryClaims(ctx, tx, `SELECT`+claimColumns+`WHERE c.about = $1 AND c.subject > $2 AND c.subject < $3 ORDER BY c.number`,
		AboutFit, FitSubject(place, ""), FitSubject(place, "~"))
}
