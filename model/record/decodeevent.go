package record

import (
	"encoding/json"

	"bendbook/model"
)

// parseEvent reads what an entry of the given kind says.
func parseEvent(doc json.RawMessage, kind model.Kind, r reader) (model.Event, error) {
	switch kind {
	case "":
		return nil, fieldError("kind", "missing; expected pull, braced, relaxed, scrape or the like")
	case model.KindRelaxed:
		return decode(doc, r.relaxed)
	case model.KindString:
		return decode(doc, r.stringLength)
	case model.KindBraced:
		return decode(doc, r.braced)
	case model.KindPull:
		return decode(doc, r.pull)
	case model.KindScrape:
		return decode(doc, r.scrape)
	case model.KindExercise:
		return decode(doc, exerciseDoc.event)
	case model.KindFinish:
		return decode(doc, finishDoc.event)
	case model.KindMoisture:
		return decode(doc, moistureDoc.event)
	case model.KindNote:
		return decode(doc, noteDoc.event)
	case model.KindVoid:
		return decode(doc, voidDoc.event)
	case model.KindEdit:
		return decode(doc, editDoc.event)
	case model.KindRack:
		return decode(doc, rackDoc.event)
	}
	return model.Unknown{Name: kind}, nil
}

func decode[D any](doc json.RawMessage, event func(D) (model.Event, error)) (model.Event, error) {
	var d D
	if err := unmarshal(doc, &d); err != nil {
		return nil, err
	}
	return event(d)
}

func (r reader) relaxed(d relaxedDoc) (model.Event, error) {
	return model.Relaxed{Readings: r.pair(d.pairDoc)}, nil
}

func (r reader) stringLength(d stringDoc) (model.Event, error) {
	length, err := r.length("length", d.Length)
	return model.StringLength{Length: length}, err
}

func (r reader) braced(d bracedDoc) (model.Event, error) {
	from, err := datum(d.From, model.FromString)
	if err != nil {
		return nil, err
	}
	b := model.Braced{Height: r.maybeLength(d.Height), From: from, Readings: r.pair(d.pairDoc)}
	if d.Block == nil {
		return b, nil
	}
	length, err := r.length("length", d.Block.Length)
	if err != nil {
		return nil, within("block", err)
	}
	at, err := r.lengths("at", d.Block.At)
	if err != nil {
		return nil, within("block", err)
	}
	b.Block = &model.Block{Length: length, At: at, Gaps: r.pair(d.Block.pairDoc)}
	return b, nil
}

func (r reader) pull(d pullDoc) (model.Event, error) {
	from, err := datum(d.From, model.FromLine)
	if err != nil {
		return nil, err
	}
	draw, err := r.length("draw", d.Draw)
	if err != nil {
		return nil, err
	}
	held, err := seconds("held", d.Held)
	return model.Pull{Draw: draw, Peak: r.maybeForce(d.Peak), Held: held, From: from, Readings: r.pair(d.pairDoc)}, err
}

func (d exerciseDoc) event() (model.Event, error) {
	pulls, err := count("pulls", d.Pulls)
	return model.Exercise{Pulls: pulls.Or(0)}, err
}

func (r reader) scrape(d scrapeDoc) (model.Event, error) {
	s := model.Scrape{Tool: d.Tool, Depth: r.maybeLength(d.Depth)}
	switch d.Limb {
	case model.Upper.String():
		s.Limb = model.Upper
	case model.Lower.String():
		s.Limb = model.Lower
	default:
		return nil, fieldError("limb", "%q is no limb; expected upper or lower", shorten(d.Limb))
	}
	var err error
	if s.From, err = r.length("from", d.From); err != nil {
		return nil, err
	}
	if s.To, err = r.length("to", d.To); err != nil {
		return nil, err
	}
	if s.Strokes, err = count("strokes", d.Strokes); err != nil {
		return nil, err
	}
	s.DepthShare = optional(d.DepthShare, plainNumber)
	return s, nil
}

func (d finishDoc) event() (model.Event, error) {
	coat, err := count("coat", d.Coat)
	if err != nil {
		return nil, err
	}
	grit, err := count("grit", d.Grit)
	return model.Finish{Step: d.Step, Coat: coat, Grit: grit, On: model.Day(d.On), Text: d.Text}, err
}

func (d moistureDoc) event() (model.Event, error) {
	return model.Moisture{
		Where: model.Air(d.Where), Content: optional(d.Content, plainNumber),
		Celsius: optional(d.Celsius, plainNumber), Humidity: optional(d.Humidity, plainNumber),
	}, nil
}

func (d noteDoc) event() (model.Event, error) {
	return model.Note{Text: d.Text}, nil
}

func (d voidDoc) event() (model.Event, error) {
	if d.Entry == "" {
		return nil, fieldError("entry", "missing; expected the id of the entry that is void")
	}
	return model.Void{Entry: d.Entry, Why: d.Why}, nil
}

func (d editDoc) event() (model.Event, error) {
	if len(d.Set) == 0 || d.Set[0] != '{' {
		return nil, fieldError("set", "expected an object with the fields that change")
	}
	return model.Edit{Set: compact(d.Set)}, nil
}

func (d rackDoc) event() (model.Event, error) {
	if d.InHand == nil {
		return nil, fieldError("in_hand", "missing; expected true or false")
	}
	return model.Rack{InHand: *d.InHand, Why: d.Why}, nil
}

func datum(name string, otherwise model.Datum) (model.Datum, error) {
	switch from := model.Datum(name); from {
	case "":
		return otherwise, nil
	case model.FromLine, model.FromString:
		return from, nil
	}
	return "", fieldError("from", "%q is nothing to measure from; expected line or string", shorten(name))
}
