package table

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
)

// row takes one row.
func (r *reader) row(line int, cells []string) {
	row := Row{Line: line}
	g := &given{bow: r.bow, fields: make(map[string]string), columns: make(map[string]column), used: make(map[string]bool)}
	for i, cell := range cells {
		if i < len(r.columns) && slices.Contains(textFields, r.columns[i].name) {
			if cell != "" { // the maker's blanks are his words
				g.fields[r.columns[i].name] = cell
			}
			continue
		}
		if strings.TrimSpace(cell) == "" {
			continue
		}
		if i >= len(r.columns) {
			g.failf("there are more cells than columns: %q stands beyond the last", short(plain.Line(cell)))
			break
		}
		switch c := r.columns[i]; {
		case c.station:
			l, err := r.length(c, cell)
			if err != nil {
				g.failf("%s: %w", r.named[i], err)
			}
			g.readings = append(g.readings, reading{c.side, c.at, l, r.named[i]})
		case c.name != "":
			g.fields[c.name], g.columns[c.name] = cell, c
		}
	}
	entry := model.Entry{ID: restore(g.take(fieldEntry)), At: g.time(r.place)}
	g.take(fieldPass) // follows from the scrapes
	kind, what := g.event()
	entry.What = what
	if kind != string(model.KindNote) {
		// A remark beside a reading becomes a note behind it.
		if note := g.text(fieldNote); strings.TrimSpace(note) != "" {
			row.Note = &model.Entry{At: entry.At, What: model.Note{Text: note}}
		}
	}
	g.leftOver(kind)
	if first, again := r.entries[entry.ID]; again && entry.ID != "" && g.fault == nil {
		g.fault = r.join(first, kind, what)
		row.Of = r.out.Rows[first].Line
	}
	row.Entry, row.Fault = entry, g.fault
	if row.Fault == nil && row.Of == 0 {
		row.Fault = r.inColumns(r.bow.CheckEvent(what))
	}
	if row.Of == 0 && entry.ID != "" {
		r.entries[entry.ID] = len(r.out.Rows)
	}
	r.out.Rows = append(r.out.Rows, row)
}

// inColumns names the columns of the table where an error names the fields of a record.
func (r *reader) inColumns(err error) error {
	var fault *model.FieldError
	if !errors.As(err, &fault) {
		return err
	}
	for _, side := range model.Sides {
		for i, at := range r.bow.Limbs[side].Stations {
			if fault.Field == fmt.Sprintf("%s[%d]", side, i) {
				return &model.FieldError{Field: heading(r.bow, column{station: true, side: side, at: at}), Want: fault.Want}
			}
		}
	}
	return err
}

// join adds the gaps under a block to the braced bow of the same entry.
func (r *reader) join(first int, kind string, what model.Event) error {
	if kind != kindBlock {
		return fmt.Errorf("its entry stands in line %d already", r.out.Rows[first].Line)
	}
	braced, isBraced := r.out.Rows[first].Entry.What.(model.Braced)
	if !isBraced {
		return fmt.Errorf("its entry is no braced bow in line %d", r.out.Rows[first].Line)
	}
	block := *what.(model.Braced).Block
	if have := braced.Block; have != nil {
		if have.Length != block.Length {
			return fmt.Errorf("its block is not the one of line %d", r.out.Rows[first].Line)
		}
		joined := model.Block{Length: have.Length, At: append(slices.Clone(have.At), block.At...)}
		for _, side := range model.Sides {
			for i := range joined.At {
				gap := have.Gaps.At(side, i)
				if i >= len(have.At) {
					gap = block.Gaps.At(side, i-len(have.At))
				}
				joined.Gaps[side] = append(joined.Gaps[side], gap)
			}
		}
		block = joined
	}
	braced.Block = &block
	if err := r.bow.CheckEvent(braced); err != nil {
		return err
	}
	r.out.Rows[first].Entry.What = braced
	return nil
}

// length is the length in a cell under a column's unit, exactly where it is a plain number.
func (r *reader) length(c column, cell string) (measure.Length, error) {
	return lengthIn(r.bow, c, cell)
}

// kind is what the row names itself, or else what its cells can only be.
func (g *given) kind() string {
	kind := strings.ToLower(strings.TrimSpace(g.text(fieldKind)))
	if kind != "" {
		return kind
	}
	for _, guess := range []struct{ field, kind string }{
		{fieldDraw, string(model.KindPull)}, {fieldPeak, string(model.KindPull)}, {fieldBlock, kindBlock}, {fieldBrace, string(model.KindBraced)}, {fieldString, string(model.KindString)},
		{fieldStrokes, string(model.KindScrape)}, {fieldFrom, string(model.KindScrape)}, {fieldPulls, string(model.KindExercise)},
		{fieldStep, string(model.KindFinish)}, {fieldContent, string(model.KindMoisture)}, {fieldHumidity, string(model.KindMoisture)}, {fieldNote, string(model.KindNote)},
	} {
		if g.fields[guess.field] != "" {
			return guess.kind
		}
	}
	return ""
}

// event is what the row says.
func (g *given) event() (kind string, what model.Event) {
	kind = g.kind()
	switch kind {
	case string(model.KindRelaxed):
		return kind, model.Relaxed{Readings: g.rows()}
	case string(model.KindString):
		return kind, model.StringLength{Length: g.mustLength(fieldString)}
	case string(model.KindBraced):
		return kind, model.Braced{Height: g.length(fieldBrace), From: g.datum(model.FromString), Readings: g.rows()}
	case kindBlock:
		g.take(fieldMeasured)
		return kind, model.Braced{Height: g.length(fieldBrace), From: model.FromString, Block: g.block()}
	case string(model.KindPull):
		return kind, model.Pull{Draw: g.mustLength(fieldDraw), Peak: g.force(fieldPeak), Held: g.seconds(fieldHeld), From: g.datum(model.FromLine), Readings: g.rows()}
	case string(model.KindScrape):
		return kind, g.scrape()
	case string(model.KindExercise):
		pulls, known := g.count(fieldPulls).Get()
		if !known {
			g.failf("%s: missing; expected how many", fieldPulls)
		}
		return kind, model.Exercise{Pulls: pulls}
	case string(model.KindFinish):
		return kind, model.Finish{
			Step: g.text(fieldStep), Coat: g.count(fieldCoat), Grit: g.count(fieldGrit), On: model.Day(strings.TrimSpace(g.text(fieldDay))), Text: g.text(fieldStamped),
		}
	case string(model.KindMoisture):
		return kind, model.Moisture{
			Where:   model.Air(strings.ToLower(strings.TrimSpace(g.text(fieldWhere)))),
			Content: g.number(fieldContent), Celsius: g.number(fieldCelsius), Humidity: g.number(fieldHumidity),
		}
	case string(model.KindNote):
		return kind, model.Note{Text: g.text(fieldNote)}
	case "":
		g.failf("it does not say what was done; expected a kind such as pull, braced, relaxed or scrape, or a draw")
	default:
		g.failf("kind: %q; expected pull, braced, block, relaxed, string, scrape, exercise, finish, moisture or note", short(plain.Line(kind)))
	}
	return kind, nil
}

func (g *given) scrape() model.Scrape {
	s := model.Scrape{
		From: g.mustLength(fieldFrom), To: g.mustLength(fieldTo), Tool: g.text(fieldTool),
		Strokes: g.count(fieldStrokes), Depth: g.length(fieldDepth), DepthShare: g.number(fieldShare),
	}
	switch limb := strings.ToLower(strings.TrimSpace(g.take(fieldLimb))); limb {
	case "upper", "u":
	case "lower", "l":
		s.Limb = model.Lower
	default:
		g.failf("%s: expected upper or lower", fieldLimb)
	}
	return s
}

// rows are the station cells as one walk round the bow.
func (g *given) rows() model.Readings {
	var rows model.Readings
	for _, cell := range g.readings {
		i, ok := stationOf(g.bow, cell.side, cell.at)
		if !ok {
			g.failf("%s: the %s limb has no station there; it is read at %s", cell.name, cell.side, g.stations(cell.side))
			continue
		}
		for len(rows[cell.side]) <= i {
			rows[cell.side] = append(rows[cell.side], measure.Optional[measure.Length]{})
		}
		if rows[cell.side][i].Known() {
			g.failf("%s: that station stands in two columns", cell.name)
		}
		rows[cell.side][i] = measure.Some(cell.l)
	}
	g.readings = nil
	return rows
}

func (g *given) stations(side model.Side) string {
	var said []string
	for _, at := range g.bow.Limbs[side].Stations {
		said = append(said, g.bow.Ruler().Short(at))
	}
	if len(said) == 0 {
		return "none yet"
	}
	return strings.Join(said, ", ") + " " + string(g.bow.Units.Length)
}

// block are the station cells as gaps under a block; its places need be no stations.
func (g *given) block() *model.Block {
	b := &model.Block{Length: g.mustLength(fieldBlock)}
	for _, cell := range g.readings {
		if !slices.Contains(b.At, cell.at) {
			b.At = append(b.At, cell.at)
		}
	}
	slices.Sort(b.At)
	for _, cell := range g.readings {
		i := slices.Index(b.At, cell.at)
		for len(b.Gaps[cell.side]) <= i {
			b.Gaps[cell.side] = append(b.Gaps[cell.side], measure.Optional[measure.Length]{})
		}
		b.Gaps[cell.side][i] = measure.Some(cell.l)
	}
	g.readings = nil
	return b
}

// leftOver finds fault with cells that say something that this kind of row has no place for.
func (g *given) leftOver(kind string) {
	if g.fault != nil {
		return
	}
	if len(g.readings) > 0 {
		g.fault = fmt.Errorf("%s: a row of the kind %s has no readings of stations", g.readings[0].name, kind)
		return
	}
	for _, field := range slices.Concat(before, behind) {
		if g.fields[field] != "" && !g.used[field] {
			g.fault = fmt.Errorf("%s: a row of the kind %s has none", field, kind)
			return
		}
	}
}
