package shop

import (
	"cmp"
	"context"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Order is an order to a supplier.
type Order struct {
	Number   int64       `json:"order"`
	Code     string      `json:"code"` // as its sheet has it in bars
	Supplier string      `json:"supplier"`
	State    string      `json:"state"` // draft, placed, part_received, closed, cancelled
	Made     string      `json:"made"`
	Placed   string      `json:"placed"`   // the day; empty: not yet
	Expected string      `json:"expected"` // the day; empty: none was told
	Late     bool        `json:"late"`     // a day is over on which something was to come
	Note     string      `json:"note,omitempty"`
	Currency string      `json:"currency"`
	Lines    []OrderLine `json:"lines"`
	Total    int64       `json:"total_minor"`
	Unpriced int         `json:"unpriced"` // lines whose price is not known, and not in the total
}

// Missing gives on how many lines something is still to come.
func (o Order) Missing() (n int) {
	for _, l := range o.Lines {
		if l.Missing > 0 {
			n++
		}
	}
	return n
}

// OrderLine is what is ordered of a part.
type OrderLine struct {
	ID     string       `json:"-"`
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	SupplierNumber string `json:"supplier_number"`
	Unit           string `json:"unit"`
	Pack           int64  `json:"pack"`
	Packs          int64  `json:"packs"`
	Amount         int64  `json:"amount"`
	Received       int64  `json:"received"`
	Missing        int64  `json:"missing"`
	Dropped        int64  `json:"dropped"`  // packs that will not come
	Promised       string `json:"promised"` // the day on which what is missing is to follow
	Late           bool   `json:"late"`     // that day is over, or the order's where none was promised
	Job            string `json:"job"`
	Why            string `json:"why"`
	PackPriceMinor *int64 `json:"pack_price_minor"`
	PriceMinor     *int64 `json:"price_minor"`
	Jump           *Jump  `json:"jump"` // of a draft: the price is far from what was paid last; null: it is not
}

// Name gives the part as forms take it.
func (l OrderLine) Name() string { return l.Maker + "/" + l.Number }

// Orders is a list of orders, the newest first.
type Orders struct {
	Orders []Order `json:"orders"`
}

// mostOrders is how many orders a list shows.
const mostOrders = 100

// Orders gives the orders that are not ended, of all for ended.
func (s *Shop) Orders(ctx context.Context, ended bool) (Orders, error) {
	out := Orders{Orders: []Order{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		states := []string{inventory.Draft, inventory.Placed}
		if ended {
			states = []string{""}
		}
		for _, state := range states {
			all, err := inventory.Purchases(ctx, tx, state, mostOrders)
			if err != nil {
				return err
			}
			for _, p := range all {
				o, err := s.order(ctx, tx, p)
				if err != nil {
					return err
				}
				out.Orders = append(out.Orders, o)
			}
		}
		return nil
	})
	return out, err
}

// Order gives an order, which is named by its number or its code. Errors:
// Invalid, NotFound.
func (s *Shop) Order(ctx context.Context, name string) (Order, error) {
	var out Order
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		p, err := orderNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		out, err = s.order(ctx, tx, p)
		return err
	})
	return out, err
}

var orderCode = regexp.MustCompile(`^(?i:ORDER-)(\d{1,9})-(\d)$`)

// codeOfOrder gives the text that the bars of an order sheet hold: its number
// with the check digit of GS1 numbers (mod 10, weights 3 and 1).
func codeOfOrder(number int64) string {
	body := strconv.FormatInt(number, 10)
	digit, _ := gs1.CheckDigit(body)
	return fmt.Sprintf("ORDER-%s-%c", body, digit)
}

// orderOfCode gives the number of an order from the text of its bars; ok is
// false for any other text.
func orderOfCode(text string) (number int64, ok bool) {
	part := orderCode.FindStringSubmatch(strings.TrimSpace(text))
	if part == nil {
		return 0, false
	}
	digit, _ := gs1.CheckDigit(part[1])
	number, err := strconv.ParseInt(part[1], 10, 64)
	return number, err == nil && part[2] == string(digit)
}

// IsOrderCode reports whether a text is the code on the sheet of an order, whether
// there is such an order or not.
func IsOrderCode(text string) bool {
	_, ok := orderOfCode(text)
	return ok
}

func orderNamed(ctx context.Context, tx *store.Tx, name string) (inventory.Purchase, error) {
	number, ok := orderOfCode(name)
	if !ok {
		var err error
		if number, err = strconv.ParseInt(strings.TrimSpace(name), 10, 64); err != nil {
			return inventory.Purchase{}, fault.New(fault.Invalid, "shop.bad_order", clipped(name)).WithHint("inventory.order_absent.hint")
		}
	}
	return inventory.PurchaseNumbered(ctx, tx, number)
}

// order shows an order with its lines.
func (s *Shop) order(ctx context.Context, tx *store.Tx, p inventory.Purchase) (Order, error) {
	made, err := store.Time(p.Made)
	if err != nil {
		return Order{}, err
	}
	out := Order{
		Number: p.Number, Code: codeOfOrder(p.Number), State: p.State, Made: s.day(made), Placed: p.Placed, Expected: p.Expected,
		Note: p.Note, Currency: s.settings.Currency, Lines: []OrderLine{},
	}
	if _, err := tx.One(ctx, store.Into(&out.Supplier), `SELECT name FROM supplier WHERE id = $1`, p.Supplier); err != nil {
		return out, err
	}
	lines, err := inventory.PurchaseLines(ctx, tx, p.ID)
	if err != nil {
		return out, err
	}
	came, missing := false, false
	for _, l := range lines {
		part, _, err := catalog.PartByID(ctx, tx, l.Part)
		if err != nil {
			return out, err
		}
		v := orderLine(part, l)
		if v.Jump, err = s.jumpOf(ctx, tx, p, l); err != nil {
			return out, err
		}
		due := cmp.Or(l.Promised, p.Expected)
		v.Late = p.State == inventory.Placed && v.Missing > 0 && due != "" && due < tx.Today()
		out.Late = out.Late || v.Late
		if out.Lines = append(out.Lines, v); v.PriceMinor == nil {
			out.Unpriced++
		} else {
			out.Total += *v.PriceMinor
		}
		came, missing = came || l.Received > 0, missing || l.Missing() > 0
	}
	if p.State == inventory.Placed && came && missing {
		out.State = "part_received"
	}
	return out, nil
}

func orderLine(part catalog.Part, l inventory.PurchaseLine) OrderLine {
	v := OrderLine{
		ID: l.ID, Number: part.Number, Maker: part.Maker, Role: part.Role, Sizes: sizes(part.Size, part.Thread), Unit: part.Unit,
		SupplierNumber: l.SupplierNumber, Pack: l.Pack, Packs: l.Packs, Amount: l.Pack * l.Packs, Received: l.Received,
		Missing: l.Missing(), Dropped: l.Dropped, Promised: l.Promised, Job: l.Job, Why: l.Why, PackPriceMinor: minor(l.PackPrice),
	}
	if l.PackPrice.Known {
		price := l.PackPrice.Minor * l.Packs
		v.PriceMinor = &price
	}
	return v
}
