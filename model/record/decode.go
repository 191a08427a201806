package record

import (
	"fmt"
	"math"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// reader turns numbers of a record's units into values. Its methods take the field's name for the error.
type reader struct{ units measure.Units }

func (d bowDoc) bow(units measure.Units) (model.Bow, error) {
	r := reader{units}
	b := model.Bow{
		ID: d.ID, Name: d.Name, Wood: d.Wood, Number: d.Number, Units: units,
		Handle: r.maybeLength(d.Handle).Or(0), HandleDepth: r.maybeLength(d.HandleDepth), Section: model.Section(d.Section),
	}
	if d.Limbs == nil {
		return b, fieldError("limbs", "missing; expected upper and lower")
	}
	docs := [2]*limbDoc{model.Upper: d.Limbs.Upper, model.Lower: d.Limbs.Lower}
	for _, side := range model.Sides {
		limb := docs[side]
		path := "limbs." + side.String()
		if limb == nil || limb.Length == nil {
			return b, fieldError(path+".length", "missing; expected the limb's length from root to nock")
		}
		stations, err := r.lengths("stations", limb.Stations)
		if err != nil {
			return b, within(path, err)
		}
		b.Limbs[side] = model.Limb{
			Length: r.maybeLength(limb.Length).Or(0), Stations: stations, Widths: r.row(limb.Widths), Depths: r.row(limb.Depths),
		}
	}
	if o := d.Order; o != nil {
		b.Order = model.Order{
			For: o.For, Draw: r.maybeLength(o.Draw), DrawTo: model.DrawTo(o.DrawTo),
			Weight: r.maybeForce(o.Weight), Allow: r.maybeForce(o.Allow), Due: model.Day(o.Due),
			Hand: model.Hand(o.Hand), Notes: o.Notes,
		}
	}
	if a := d.Aim; a != nil {
		b.Aim = model.Aim{
			Bend: a.Bend, TillerAt: r.maybeLength(a.TillerAt), Tiller: r.maybeLength(a.Tiller),
			StiffTips: r.maybeLength(a.StiffTips),
		}
	}
	if h := d.Readings; h != nil {
		b.Rule, b.Scale, b.Cradle = r.maybeLength(h.Rule).Or(0), r.maybeForce(h.Scale).Or(0), h.Cradle
	}
	return b, nil
}

func (h headDoc) time() (time.Time, error) {
	if h.At == "" {
		return time.Time{}, nil
	}
	at, err := time.Parse(time.RFC3339, h.At)
	if err != nil {
		return time.Time{}, fieldError("at", "%q is no time; expected one like 2027-01-10T09:00:00Z", shorten(h.At))
	}
	if year := at.Year(); year < 1970 || year > 9999 {
		return time.Time{}, fieldError("at", "the year %d is out of range; expected 1970 or later", year)
	}
	return at, nil
}

func count(field string, n *float64) (measure.Optional[int], error) {
	if n != nil && (*n != math.Trunc(*n) || *n < 0 || *n > 1e6) {
		return measure.Optional[int]{}, fieldError(field, "%v is no count; expected a whole number", *n)
	}
	return optional(n, func(v float64) int { return int(v) }), nil
}

func seconds(field string, v *float64) (measure.Optional[time.Duration], error) {
	if v == nil {
		return measure.Optional[time.Duration]{}, nil
	}
	d, ok := measure.Seconds(*v)
	if !ok {
		return measure.Optional[time.Duration]{}, fieldError(field, "%v is no time; expected a number of seconds", *v)
	}
	return measure.Some(d), nil
}

// optional is a number of the record as a value of the program; nil is unknown.
func optional[T any](v *float64, value func(float64) T) measure.Optional[T] {
	if v == nil {
		return measure.Optional[T]{}
	}
	return measure.Some(value(*v))
}

func plainNumber(v float64) float64 { return v }

func (r reader) length(field string, v *float64) (measure.Length, error) {
	if v == nil {
		return 0, fieldError(field, "missing; expected a number of %s", r.units.Length)
	}
	return r.units.Length.Length(*v), nil
}

func (r reader) maybeLength(v *float64) measure.Optional[measure.Length] {
	return optional(v, r.units.Length.Length)
}

func (r reader) maybeForce(v *float64) measure.Optional[measure.Force] {
	return optional(v, r.units.Force.Force)
}

func (r reader) lengths(field string, doc row) ([]measure.Length, error) {
	lengths := make([]measure.Length, len(doc))
	for i, v := range doc {
		l, err := r.length(fmt.Sprintf("%s[%d]", field, i), v)
		if err != nil {
			return nil, err
		}
		lengths[i] = l
	}
	return lengths, nil
}

func (r reader) row(doc row) []measure.Optional[measure.Length] {
	if len(doc) == 0 {
		return nil
	}
	readings := make([]measure.Optional[measure.Length], len(doc))
	for i, v := range doc {
		readings[i] = r.maybeLength(v)
	}
	return readings
}

func (r reader) pair(d pairDoc) model.Readings {
	return model.Readings{model.Upper: r.row(d.Upper), model.Lower: r.row(d.Lower)}
}
