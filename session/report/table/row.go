package table

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
)

// row is a row of a file on its way into a record.
type row struct {
	*reader
	kind  string
	doc   map[string]any    // the record, by the fields' names
	named map[string]string // the column of each field
	// zoneless says that the row's time has no offset.
	zoneless bool
}

// reading is a station's number, in the bow's own unit.
type reading struct {
	heading
	value any
}

func (r *row) entry(cells []string) (model.Entry, error) {
	kind := slices.IndexFunc(r.headings, func(h heading) bool { return h.name == columnKind })
	if kind < len(cells) {
		r.kind = strings.ToLower(strings.TrimSpace(cells[kind]))
	}
	if !slices.Contains(kinds, r.kind) {
		return model.Entry{}, fmt.Errorf("kind: %q isn't one: write %s", short(r.kind), strings.Join(kinds, ", "))
	}
	readings, err := r.parse(cells)
	if err != nil {
		return model.Entry{}, err
	}
	rows, all, places := r.doc, r.doc, stationsOf(r.bow)
	if r.kind == kindBlock {
		// The places of a block need not be stations.
		var at []float64
		for _, reading := range readings {
			at = append(at, reading.at)
		}
		slices.Sort(at)
		at = slices.Compact(at)
		places = [2][]float64{at, at}
		rows = map[string]any{"length": r.doc["length"], "at": at}
		all = map[string]any{"kind": model.KindBraced, "id": r.doc["id"], "at": r.doc["at"], "block": rows}
	}
	for _, reading := range readings {
		if err := r.put(rows, reading, places[reading.side]); err != nil {
			return model.Entry{}, err
		}
	}
	doc, err := json.Marshal(all)
	if err != nil {
		return model.Entry{}, err
	}
	item, err := record.ParseItem(doc, r.bow.Units)
	if err == nil {
		err = r.bow.CheckEvent(item.Entry.What)
	}
	return item.Entry, r.inColumns(err)
}

// parse reads the cells into doc, and returns those of stations.
func (r *row) parse(cells []string) (readings []reading, err error) {
	r.doc, r.named = make(map[string]any), make(map[string]string)
	fields := append(fieldsOf(r.kind), field{"kind", columnKind, word}, field{"at", columnTime, times},
		field{"id", columnEntry, text}, field{"pass", columnPass, nothing})
	for _, f := range fields {
		r.named[f.name] = f.column
	}
	for i, cell := range cells {
		h := noHeading()
		if i < len(r.headings) {
			h = r.headings[i]
		}
		f := slices.IndexFunc(fields, func(f field) bool { return f.column == h.name })
		if f < 0 && strings.TrimSpace(cell) == "" {
			continue
		}
		if f < 0 {
			return nil, fmt.Errorf("%s: %q in a row of the kind %s: empty the cell",
				h.named, short(cell), r.kind)
		}
		v, err := r.value(fields[f].holds, cell, h.units)
		switch {
		case err != nil:
			return nil, fmt.Errorf("%s: %w", h.named, err)
		case v == nil:
		case h.name == columnStations:
			readings = append(readings, reading{h, v})
		default:
			r.doc[fields[f].name] = v
		}
	}
	if r.zoneless && r.doc["id"] != nil {
		return nil, errors.New("time: it has lost its time zone; write it like " +
			"2027-01-10T09:30:00+01:00, or leave entry empty if the row is new")
	}
	return readings, nil
}

// put puts a reading into its side's row of a record, which has places.
func (r *row) put(rows map[string]any, of reading, places []float64) error {
	i, side := slices.Index(places, of.at), of.side.String()
	if i < 0 {
		return fmt.Errorf("%s: the bow has no station there: write %s", of.named,
			strings.Trim(fmt.Sprint(places), "[]"))
	}
	all, _ := rows[side].([]any)
	all = append(all, make([]any, max(0, i+1-len(all)))...)
	all[i] = of.value
	rows[side] = all
	r.named[fmt.Sprintf("%s[%d]", side, i)] = of.named
	return nil
}

// inColumns replaces a record's field in an error by the table's column.
func (r *row) inColumns(err error) error {
	var fault *model.FieldError
	if !errors.As(err, &fault) {
		return err
	}
	name := strings.TrimPrefix(fault.Field, "block.")
	return &model.FieldError{Field: cmp.Or(r.named[name], name), Want: fault.Want}
}

// value reads a cell as a record has it, in the bow's own units; nil where it is empty. The heading has the
// units under.
func (r *row) value(h holds, cell string, under measure.Units) (any, error) {
	if h == text && cell != "" {
		return restore(cell), nil
	}
	trimmed, own := strings.ToLower(strings.TrimSpace(cell)), r.bow.Units
	if h == nothing || trimmed == "" {
		return nil, nil
	}
	switch h {
	case word:
		return restore(trimmed), nil
	case flag:
		if trimmed == "yes" || trimmed == "no" {
			return trimmed == "yes", nil
		}
		return nil, fmt.Errorf("%q: write yes or no", short(cell))
	case times:
		at, local, err := parseTime(strings.ToUpper(trimmed), r.place)
		r.zoneless = local
		return at, err
	case lengths:
		return parseIn(trimmed, under.Length, own.Length, measure.ParseLength, measure.Length.In)
	case forces:
		return parseIn(trimmed, under.Force, own.Force, measure.ParseForce, measure.Force.In)
	case seconds:
		held, err := measure.ParseSeconds(trimmed)
		return held.Seconds(), err
	}
	if v, ok := plainNumber(strings.Replace(trimmed, ",", ".", 1)); ok {
		return v, nil
	}
	return nil, fmt.Errorf("%q isn't a number", short(cell))
}
