package storage

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"unicode/utf8"

	"bendbook/model/measure"
	"bendbook/model/record"
)

// line is one thing kept: a bow's description, an entry or settings. Sealed, it is a line of the journal
// and, without its last three fields, the value in the book. Documents stay byte for byte as they came.
type line struct {
	Bow      string                     `json:"bow,omitempty"`
	Key      string                     `json:"key,omitempty"` // of an entry, as a ULID; of settings, their number
	ID       string                     `json:"id,omitempty"`  // of an entry
	Entry    json.RawMessage            `json:"entry,omitempty"`
	Units    measure.Units              `json:"units,omitzero"`
	Describe json.RawMessage            `json:"describe,omitempty"`
	Extra    map[string]json.RawMessage `json:"extra,omitempty"`
	Settings json.RawMessage            `json:"settings,omitempty"`

	Draft string `json:"draft,omitempty"` // the draft that this save drops
	Of    int    `json:"of,omitempty"`    // how many lines the save has; 0 for one
	Left  int    `json:"left,omitempty"`  // how many of them are still to come
}

// place tells lines apart that a book can hold both of.
type place struct{ bow, key string }

// String names a place for a message.
func (p place) String() string {
	switch {
	case p.bow == "":
		return "settings " + p.key
	case p.key == "":
		return "bow " + p.bow
	}
	return fmt.Sprintf("bow %s, entry %s", p.bow, p.key)
}

func (l line) place() place { return place{l.Bow, l.Key} }

// The seal: the text of a JSON object begins with a checksum over what follows it.
const (
	sealStart  = `{"sum":"`
	sealLength = len(sealStart) + 8 + len(`",`)
)

// checksum is CRC-32C, in hex.
func checksum(text []byte) (sum [8]byte) {
	crc := crc32.Checksum(text, crc32.MakeTable(crc32.Castagnoli))
	hex.Encode(sum[:], binary.BigEndian.AppendUint32(make([]byte, 0, 4), crc))
	return sum
}

// encode is the JSON of a value on one line, without HTML escapes.
func encode(value any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(value)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

// seal is the sealed text of an object.
func seal(object any) ([]byte, error) {
	text, err := encode(object)
	if err != nil {
		return nil, err
	}
	sum := checksum(text[1:])
	return fmt.Appendf(nil, `%s%s",%s`, sealStart, sum[:], text[1:]), nil
}

// unseal reads a sealed object. Its text must go on with start, which says where it belongs.
func unseal(text []byte, start string, object any) error {
	if err := sealed(text, start); err != nil {
		return err
	}
	if err := json.Unmarshal(text, object); err != nil {
		return fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	return nil
}

// sealed compares a sealed text with its checksum and with what it must go on with.
func sealed(text []byte, start string) error {
	if len(text) < sealLength || string(text[:len(sealStart)]) != sealStart {
		return errSum()
	}
	rest := text[sealLength:]
	if sum := checksum(rest); string(text[len(sealStart):sealLength]) != string(sum[:])+`",` {
		return errSum()
	}
	if len(rest) < len(start) || string(rest[:len(start)]) != start {
		return fmt.Errorf("%w: it belongs elsewhere", ErrDamaged)
	}
	return nil
}

func errSum() error { return fmt.Errorf("%w: its checksum doesn't fit", ErrDamaged) }

// The text of a bow's line goes on with startOfBow, that of an entry with startOfEntry.
func startOfBow(id string) string {
	quoted, _ := encode(id) // no string fails
	return `"bow":` + string(quoted)
}

func startOfEntry(bow, key string) string { return bow + `,"key":"` + key + `"` }

// text is the sealed line.
func (l line) text() ([]byte, error) {
	if !utf8.ValidString(l.Bow + l.ID + l.Draft) {
		return nil, errors.New("an id isn't valid text")
	}
	return seal(l)
}

// value is the line as it stands in the book.
func (l line) value() ([]byte, error) {
	l.Draft, l.Of, l.Left = "", 0, 0
	return l.text()
}

// description parses a bow's description.
func (l line) description() (record.Description, error) {
	desc, err := record.ParseDescription(l.Describe, l.Units)
	if err == nil && desc.Bow.ID != l.Bow {
		err = errors.New("it names another bow")
	}
	if err != nil {
		return record.Description{}, fmt.Errorf("bow %s: its description can't be read: %w", l.Bow, err)
	}
	desc.Doc, desc.Extra = l.Describe, l.Extra
	return desc, nil
}

// item parses an entry whose numbers are in the given units.
func (l line) item(units measure.Units) (record.Item, error) {
	item, err := record.ParseItem(l.Entry, units)
	if err != nil {
		return record.Item{}, fmt.Errorf("%s: %w", l.place(), err)
	}
	item.Key, _ = record.KeyOf(l.Key) // the key of the value, which was compared with it
	item.Doc, item.Entry.ID = l.Entry, l.ID
	return item, nil
}

// lines are the lines of a save: a description, if there is one, and a bow's entries.
func lines(bow string, desc *record.Description, items []record.Item) (all []line, err error) {
	if desc != nil {
		l := line{Bow: bow, Units: desc.Bow.Units, Describe: desc.Doc, Extra: desc.Extra}
		if _, err := l.description(); err != nil { // what can't be read back must not be confirmed
			return nil, err
		}
		all = append(all, l)
	}
	for _, item := range items {
		if item.Key.IsZero() {
			return nil, fmt.Errorf("entry %s: %w", item.Entry.ID, ErrNoKey)
		}
		all = append(all, line{Bow: bow, Key: item.Key.String(), ID: item.Entry.ID, Entry: item.Doc})
	}
	return all, nil
}
