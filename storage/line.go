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

// place is where a line belongs. Settings have no bow, and a bow's description has no key.
type place struct {
	Bow string `json:"bow,omitempty"`
	Key string `json:"key,omitempty"` // of an entry, as a ULID; of settings, their number
}

// String names a place for a message.
func (p place) String() string {
	switch {
	case p.Bow == "":
		return "settings " + p.Key
	case p.Key == "":
		return "bow " + p.Bow
	}
	return fmt.Sprintf("bow %s, entry %s", p.Bow, p.Key)
}

// start is what the text of the place's line begins with, behind its sum.
func (p place) start() string {
	text, _ := record.Marshal(p) // no string fails
	return string(text[1 : len(text)-1])
}

// line is one thing kept: a bow's description, an entry or settings. Documents stay as they came.
type line struct {
	place
	ID       string                     `json:"id,omitempty"` // of an entry
	Entry    json.RawMessage            `json:"entry,omitempty"`
	Units    measure.Units              `json:"units,omitzero"`
	Describe json.RawMessage            `json:"describe,omitempty"`
	Extra    map[string]json.RawMessage `json:"extra,omitempty"`
	Settings json.RawMessage            `json:"settings,omitempty"`
}

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

func seal(object any) ([]byte, error) {
	text, err := record.Marshal(object)
	if err != nil {
		return nil, err
	}
	sum := checksum(text[1:])
	return fmt.Appendf(nil, `%s%s",%s`, sealStart, sum[:], text[1:]), nil
}

func unseal(text []byte, object any) error {
	err := sealed(text, "")
	if err == nil {
		err = json.Unmarshal(text, object)
	}
	if err != nil {
		return fmt.Errorf("%w (%w)", errDamaged, err)
	}
	return nil
}

// sealed compares a sealed text with its checksum and with what it must go on with.
func sealed(text []byte, start string) error {
	if len(text) < sealLength || string(text[:len(sealStart)]) != sealStart {
		return errSum
	}
	rest := text[sealLength:]
	if sum := checksum(rest); string(text[len(sealStart):sealLength]) != string(sum[:])+`",` {
		return errSum
	}
	if !bytes.HasPrefix(rest, []byte(start)) {
		return fmt.Errorf("%w: it belongs elsewhere", errDamaged)
	}
	return nil
}

// sealedLines are the sealed lines of a save: a description, if there is one, and a bow's entries.
func sealedLines(bow string, desc *record.Description, items []record.Item) (s save, err error) {
	if desc != nil {
		l := line{place: place{Bow: bow}, Units: desc.Bow.Units, Describe: desc.Doc, Extra: desc.Extra}
		_, err = l.description() // what can't be read back must not be confirmed
		err = errors.Join(err, s.add(l))
	}
	for _, item := range items {
		if item.Key.IsZero() {
			return s, fmt.Errorf("entry %s: %w", item.Entry.ID, errNoKey)
		}
		l := line{place: place{bow, item.Key.String()}, ID: item.Entry.ID, Entry: item.Doc}
		err = errors.Join(err, s.add(l))
	}
	return s, err
}

// add seals a line and adds it to a save.
func (s *save) add(l line) error {
	if !utf8.ValidString(l.Bow + l.ID) {
		return errors.New("an id isn't valid text")
	}
	text, err := seal(l)
	s.Lines = append(s.Lines, text)
	return err
}

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
		return record.Item{}, fmt.Errorf("%s: %w", l.place, err)
	}
	item.Key, _ = record.KeyOf(l.Key) // the key of the value, which was compared with it
	item.Doc, item.Entry.ID = l.Entry, l.ID
	return item, nil
}
