package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// The documents below are the JSON shapes of a record, in the order in which they are written.

type bowDoc struct {
	ID          string       `json:"id"`
	Name        string       `json:"name"`
	Wood        string       `json:"wood,omitempty"`
	Number      string       `json:"number,omitempty"`
	Handle      *float64     `json:"handle,omitempty"`
	HandleDepth *float64     `json:"handle_depth,omitempty"`
	Section     string       `json:"section,omitempty"`
	Limbs       *limbsDoc    `json:"limbs,omitempty"`
	Order       *orderDoc    `json:"order,omitempty"`
	Aim         *aimDoc      `json:"aim,omitempty"`
	Readings    *readingsDoc `json:"readings,omitempty"`
}

type limbsDoc struct {
	Upper *limbDoc `json:"upper"`
	Lower *limbDoc `json:"lower"`
}

type limbDoc struct {
	Length   *float64 `json:"length"`
	Stations row      `json:"stations"`
	Widths   row      `json:"widths,omitempty"`
	Depths   row      `json:"depths,omitempty"`
}

type orderDoc struct {
	For    string   `json:"for,omitempty"`
	Draw   *float64 `json:"draw,omitempty"`
	DrawTo string   `json:"draw_to,omitempty"`
	Weight *float64 `json:"weight,omitempty"`
	Allow  *float64 `json:"allow,omitempty"`
	Due    string   `json:"due,omitempty"`
	Hand   string   `json:"hand,omitempty"`
	Notes  string   `json:"notes,omitempty"`
}

type aimDoc struct {
	Bend      string   `json:"bend,omitempty"`
	TillerAt  *float64 `json:"tiller_at,omitempty"`
	Tiller    *float64 `json:"tiller,omitempty"`
	StiffTips *float64 `json:"stiff_tips,omitempty"`
}

type readingsDoc struct {
	Rule   *float64 `json:"rule,omitempty"`
	Scale  *float64 `json:"scale,omitempty"`
	Cradle string   `json:"cradle,omitempty"`
}

// row is a list of numbers and nulls.
type row []*float64

// UnmarshalJSON implements json.Unmarshaler. It adds to its error which of the numbers is none.
func (r *row) UnmarshalJSON(doc []byte) error {
	all := json.Unmarshal(doc, (*[]*float64)(r))
	var numbers []json.RawMessage
	if all == nil || json.Unmarshal(doc, &numbers) != nil {
		return all
	}
	for i, number := range numbers {
		var mismatch *json.UnmarshalTypeError
		if err := json.Unmarshal(number, new(*float64)); errors.As(err, &mismatch) {
			mismatch.Field = fmt.Sprintf("[%d]", i)
			return mismatch
		}
	}
	return all
}

// headDoc is what every entry has.
type headDoc struct {
	ID   string `json:"id,omitempty"`
	At   string `json:"at,omitempty"`
	Kind string `json:"kind"`
}

type pairDoc struct {
	Upper row `json:"upper,omitempty"`
	Lower row `json:"lower,omitempty"`
}

type relaxedDoc struct {
	headDoc
	pairDoc
}

type stringDoc struct {
	headDoc
	Length *float64 `json:"length"`
}

type bracedDoc struct {
	headDoc
	Height *float64 `json:"height,omitempty"`
	From   string   `json:"from,omitempty"`
	pairDoc
	Block *blockDoc `json:"block,omitempty"`
}

type blockDoc struct {
	Length *float64 `json:"length"`
	At     row      `json:"at"`
	pairDoc
}

type pullDoc struct {
	headDoc
	Draw *float64 `json:"draw"`
	Peak *float64 `json:"peak,omitempty"`
	Held *float64 `json:"held,omitempty"` // seconds
	From string   `json:"from,omitempty"`
	pairDoc
}

type scrapeDoc struct {
	headDoc
	Limb       string   `json:"limb"`
	From       *float64 `json:"from"`
	To         *float64 `json:"to"`
	Tool       string   `json:"tool,omitempty"`
	Strokes    *float64 `json:"strokes,omitempty"`
	Depth      *float64 `json:"depth,omitempty"`
	DepthShare *float64 `json:"depth_share,omitempty"`
}

type exerciseDoc struct {
	headDoc
	Pulls *float64 `json:"pulls"`
}

type finishDoc struct {
	headDoc
	Step string   `json:"step"`
	Coat *float64 `json:"coat,omitempty"`
	Grit *float64 `json:"grit,omitempty"`
	On   string   `json:"on,omitempty"`
	Text string   `json:"text,omitempty"`
}

type moistureDoc struct {
	headDoc
	Where    string   `json:"where"`
	Content  *float64 `json:"content,omitempty"`
	Celsius  *float64 `json:"celsius,omitempty"`
	Humidity *float64 `json:"humidity,omitempty"`
}

type noteDoc struct {
	headDoc
	Text string `json:"text"`
}

type voidDoc struct {
	headDoc
	Entry string `json:"entry"`
	Why   string `json:"why,omitempty"`
}

type editDoc struct {
	headDoc
	Set json.RawMessage `json:"set"`
}

type rackDoc struct {
	headDoc
	InHand *bool  `json:"in_hand"`
	Why    string `json:"why,omitempty"`
}

// bowDocument is the document of a bow in its own units.
func bowDocument(b model.Bow) bowDoc {
	w := writer{b.Units}
	return bowDoc{
		ID: b.ID, Name: b.Name, Wood: b.Wood, Number: b.Number,
		Handle: w.length(b.Handle), HandleDepth: known(b.HandleDepth, w.length), Section: string(b.Section),
		Limbs: &limbsDoc{Upper: w.limb(b.Limbs[model.Upper]), Lower: w.limb(b.Limbs[model.Lower])},
		Order: &orderDoc{
			For: b.Order.For, Draw: known(b.Order.Draw, w.length), DrawTo: string(b.Order.DrawTo),
			Weight: known(b.Order.Weight, w.force), Allow: known(b.Order.Allow, w.force), Due: string(b.Order.Due),
			Hand: string(b.Order.Hand), Notes: b.Order.Notes,
		},
		Aim: &aimDoc{
			Bend: b.Aim.Bend, TillerAt: known(b.Aim.TillerAt, w.length), Tiller: known(b.Aim.Tiller, w.length),
			StiffTips: known(b.Aim.StiffTips, w.length),
		},
		Readings: &readingsDoc{Rule: positive(b.Rule, w.length), Scale: positive(b.Scale, w.force), Cradle: b.Cradle},
	}
}

// entryDocument is the document of an entry in the given units.
func entryDocument(e model.Entry, units measure.Units) any {
	w := writer{units}
	head := headDoc{ID: e.ID, Kind: string(e.What.Kind())}
	if !e.At.IsZero() {
		head.At = e.At.UTC().Format(time.RFC3339Nano)
	}
	switch what := e.What.(type) {
	case model.Relaxed:
		return relaxedDoc{head, w.pair(what.Readings)}
	case model.StringLength:
		return stringDoc{head, w.length(what.Length)}
	case model.Braced:
		doc := bracedDoc{headDoc: head, Height: known(what.Height, w.length), From: string(what.From), pairDoc: w.pair(what.Readings)}
		if block := what.Block; block != nil {
			doc.Block = &blockDoc{Length: w.length(block.Length), At: w.lengths(block.At), pairDoc: w.pair(block.Gaps)}
		}
		return doc
	case model.Pull:
		return pullDoc{head, w.length(what.Draw), known(what.Peak, w.force), known(what.Held, inSeconds), string(what.From), w.pair(what.Readings)}
	case model.Scrape:
		return scrapeDoc{
			head, what.Limb.String(), w.length(what.From), w.length(what.To), what.Tool,
			known(what.Strokes, wholeNumber), known(what.Depth, w.length), known(what.DepthShare, number),
		}
	case model.Exercise:
		return exerciseDoc{head, wholeNumber(what.Pulls)}
	case model.Finish:
		return finishDoc{head, what.Step, known(what.Coat, wholeNumber), known(what.Grit, wholeNumber), string(what.On), what.Text}
	case model.Moisture:
		return moistureDoc{head, string(what.Where), known(what.Content, number), known(what.Celsius, number), known(what.Humidity, number)}
	case model.Note:
		return noteDoc{head, what.Text}
	case model.Void:
		return voidDoc{head, what.Entry, what.Why}
	case model.Edit:
		return editDoc{head, what.Set}
	case model.Rack:
		return rackDoc{head, &what.InHand, what.Why}
	}
	return head
}

// writer turns values into numbers of a record's units.
type writer struct{ units measure.Units }

func (w writer) length(l measure.Length) *float64 { return new(l.In(w.units.Length)) }

func (w writer) force(f measure.Force) *float64 { return new(f.In(w.units.Force)) }

// known is a value as its number; nil where it is unknown.
func known[T any](o measure.Optional[T], number func(T) *float64) *float64 {
	if v, isKnown := o.Get(); isKnown {
		return number(v)
	}
	return nil
}

// positive is a value as its number; nil where it is not set.
func positive[T ~float64](v T, number func(T) *float64) *float64 {
	if v <= 0 {
		return nil
	}
	return number(v)
}

func number(v float64) *float64 { return &v }

func wholeNumber(n int) *float64 { return new(float64(n)) }

func inSeconds(d time.Duration) *float64 { return new(d.Seconds()) }

func (w writer) lengths(lengths []measure.Length) row {
	doc := make(row, len(lengths))
	for i, l := range lengths {
		doc[i] = w.length(l)
	}
	return doc
}

func (w writer) row(readings []measure.Optional[measure.Length]) row {
	var doc row
	for _, l := range readings {
		doc = append(doc, known(l, w.length))
	}
	return doc
}

func (w writer) pair(r model.Readings) pairDoc {
	return pairDoc{Upper: w.row(r[model.Upper]), Lower: w.row(r[model.Lower])}
}

func (w writer) limb(l model.Limb) *limbDoc {
	return &limbDoc{Length: w.length(l.Length), Stations: w.lengths(l.Stations), Widths: w.row(l.Widths), Depths: w.row(l.Depths)}
}

// marshal writes v compactly and leaves <, > and & as they are.
func marshal(v any) (json.RawMessage, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimRight(b.Bytes(), "\n"), nil
}
