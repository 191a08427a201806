package record

import (
	"bytes"
	"strconv"

	"bendbook/model"
)

// parsePlain is the short way for what is read by thousands when a bow is opened: entries of the kinds that are made at the tree, written as this program
// writes them. It takes a document without blanks, with no field but the format's own in their order, and with plain strings. ok is false for any
// other, also for one that is at fault, and then the decoder says what it is.
func parsePlain(doc []byte, r reader) (item Item, ok bool) {
	if len(doc) == 0 || doc[0] != '{' {
		return Item{}, false
	}
	t := plainText{rest: doc[1:], numbers: make([]float64, 0, bytes.Count(doc, []byte(","))+1)}
	var head headDoc
	if !t.take(slot{"id", &head.ID}, slot{"at", &head.At}, slot{"kind", &head.Kind}) || len(head.ID) > longestID {
		return Item{}, false
	}
	at, err := head.time()
	if err != nil {
		return Item{}, false
	}
	var what model.Event
	taken := false
	switch model.Kind(head.Kind) {
	case model.KindPull:
		var d pullDoc
		taken = t.take(slot{"draw", &d.Draw}, slot{"peak", &d.Peak}, slot{"held", &d.Held}, slot{"from", &d.From}, slot{"upper", &d.Upper}, slot{"lower", &d.Lower})
		if taken {
			what, err = r.pull(d)
		}
	case model.KindBraced:
		var d bracedDoc
		taken = t.take(slot{"height", &d.Height}, slot{"from", &d.From}, slot{"upper", &d.Upper}, slot{"lower", &d.Lower}, slot{"block", &d.Block})
		if taken {
			what, err = r.braced(d)
		}
	case model.KindRelaxed:
		var d relaxedDoc
		taken = t.take(slot{"upper", &d.Upper}, slot{"lower", &d.Lower})
		if taken {
			what, err = r.relaxed(d)
		}
	case model.KindScrape:
		var d scrapeDoc
		taken = t.take(slot{"limb", &d.Limb}, slot{"from", &d.From}, slot{"to", &d.To}, slot{"tool", &d.Tool}, slot{"strokes", &d.Strokes},
			slot{"depth", &d.Depth}, slot{"depth_share", &d.DepthShare})
		if taken {
			what, err = r.scrape(d)
		}
	case model.KindExercise:
		var d exerciseDoc
		taken = t.take(slot{"pulls", &d.Pulls})
		if taken {
			what, err = d.event()
		}
	case model.KindNote:
		var d noteDoc
		taken = t.take(slot{"text", &d.Text})
		if taken {
			what, err = d.event()
		}
	}
	if !taken || err != nil || string(t.rest) != "}" {
		return Item{}, false
	}
	return Item{Entry: model.Entry{ID: head.ID, At: at, What: what}, Doc: doc}, true
}

// slot is a field that may come next, and where its value goes.
type slot struct {
	name string
	into any // *string, **float64, *row or **blockDoc
}

// plainText is an object of which some fields were read.
type plainText struct {
	rest    []byte
	numbers []float64 // those that were read; never grown, since they are pointed at
	begun   bool
}

// take reads the fields that come next as long as they are among the slots, of which each may be left out. ok is false where a value is not as plain
// as it must be.
func (t *plainText) take(slots ...slot) (ok bool) {
	for len(slots) > 0 {
		rest := t.rest
		if t.begun {
			if len(rest) == 0 || rest[0] != ',' {
				return true
			}
			rest = rest[1:]
		}
		name, rest, ok := plainString(rest)
		if !ok {
			// An empty object, or no name at all: the end of it will tell.
			return true
		}
		at := 0
		for at < len(slots) && slots[at].name != string(name) {
			at++
		}
		if at == len(slots) {
			return true
		}
		if len(rest) == 0 || rest[0] != ':' {
			return false
		}
		t.rest, t.begun = rest[1:], true
		if !t.value(slots[at].into) {
			return false
		}
		slots = slots[at+1:]
	}
	return true
}

// value reads the value that comes next.
func (t *plainText) value(into any) (ok bool) {
	switch into := into.(type) {
	case *string:
		var text []byte
		if text, t.rest, ok = plainString(t.rest); ok {
			*into = word(text)
		}
	case **float64:
		*into, ok = t.number()
	case *row:
		*into, ok = t.row()
	case **blockDoc:
		if rest, isObject := bytes.CutPrefix(t.rest, []byte("{")); isObject {
			inside := plainText{rest: rest, numbers: t.numbers}
			block := new(blockDoc)
			ok = inside.take(slot{"length", &block.Length}, slot{"at", &block.At}, slot{"upper", &block.Upper}, slot{"lower", &block.Lower})
			*into, t.numbers = block, inside.numbers
			if ok {
				t.rest, ok = bytes.CutPrefix(inside.rest, []byte("}"))
			}
		}
	}
	return ok
}

// word is a text; those that stand in thousands of entries are not copied anew for each.
func word(text []byte) string {
	switch string(text) {
	case string(model.KindPull):
		return string(model.KindPull)
	case string(model.FromLine):
		return string(model.FromLine)
	case string(model.FromString):
		return string(model.FromString)
	}
	return string(text)
}

// number is the number that comes next; nil for null.
func (t *plainText) number() (number *float64, ok bool) {
	if rest, isNull := bytes.CutPrefix(t.rest, []byte("null")); isNull {
		t.rest = rest
		return nil, true
	}
	n := numberLength(t.rest)
	if n == 0 || len(t.numbers) == cap(t.numbers) {
		return nil, false
	}
	v, err := strconv.ParseFloat(string(t.rest[:n]), 64)
	if err != nil {
		return nil, false
	}
	t.rest = t.rest[n:]
	t.numbers = append(t.numbers, v)
	return &t.numbers[len(t.numbers)-1], true
}

// row is the list of numbers and nulls that comes next.
func (t *plainText) row() (all row, ok bool) {
	rest, isArray := bytes.CutPrefix(t.rest, []byte("["))
	end := bytes.IndexByte(rest, ']')
	if !isArray || end < 0 {
		return nil, false
	}
	if end == 0 {
		t.rest = rest[1:]
		return row{}, true
	}
	t.rest = rest
	all = make(row, bytes.Count(rest[:end], []byte(","))+1)
	for i := range all {
		if i > 0 {
			if len(t.rest) == 0 || t.rest[0] != ',' {
				return nil, false
			}
			t.rest = t.rest[1:]
		}
		if all[i], ok = t.number(); !ok {
			return nil, false
		}
	}
	t.rest, ok = bytes.CutPrefix(t.rest, []byte("]"))
	return all, ok
}

// plainString is the string that text begins with, and what comes behind it. ok is false where there is none, or one that is not as it stands there.
func plainString(text []byte) (inside, rest []byte, ok bool) {
	if len(text) == 0 || text[0] != '"' {
		return nil, text, false
	}
	for i := 1; i < len(text); i++ {
		switch c := text[i]; {
		case c == '"':
			return text[1:i], text[i+1:], true
		case c < ' ' || c == '\\' || c >= 0x80:
			return nil, text, false
		}
	}
	return nil, text, false
}

// numberLength is how many bytes the number takes that text begins with, as JSON writes one; 0 where there is none.
func numberLength(text []byte) int {
	digits := func(from int) int {
		for from < len(text) && text[from] >= '0' && text[from] <= '9' {
			from++
		}
		return from
	}
	i := 0
	if i < len(text) && text[i] == '-' {
		i++
	}
	whole := digits(i)
	if whole == i || text[i] == '0' && whole > i+1 {
		return 0
	}
	i = whole
	if i < len(text) && text[i] == '.' {
		part := digits(i + 1)
		if part == i+1 {
			return 0
		}
		i = part
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		from := i + 1
		if from < len(text) && (text[from] == '+' || text[from] == '-') {
			from++
		}
		part := digits(from)
		if part == from {
			return 0
		}
		i = part
	}
	return i
}
