package record

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"bendbook/model"
	"bendbook/model/measure"
)

// byteOrderMark is what some editors put before UTF-8 text.
const byteOrderMark = "\ufeff"

// errNewer is wrapped when a record's version is higher than ourVersion.
var errNewer = errors.New("the record was written by a newer Bendbook")

// Reader reads the records of a file, one after another.
type Reader struct {
	in  *bufio.Reader
	dec *json.Decoder
	n   int
}

// NewReader reads records from r: a single document, or many in sequence (JSON Lines).
func NewReader(r io.Reader) *Reader { return &Reader{in: bufio.NewReader(r)} }

// Next reads the next record; io.EOF after the last. After any error the reader can't go on.
func (r *Reader) Next() (rec Record, err error) {
	if r.dec == nil {
		if start, err := r.in.Peek(len(byteOrderMark)); err == nil && string(start) == byteOrderMark {
			_, _ = r.in.Discard(len(start)) // it is buffered already
		}
		r.dec = json.NewDecoder(r.in)
	}
	var doc json.RawMessage
	switch err = r.dec.Decode(&doc); {
	case err == nil:
		rec, err = Parse(doc)
	case errors.Is(err, io.EOF) && r.n > 0:
		return rec, io.EOF
	default:
		err = model.JSONFault(err, "a bow record")
	}
	if r.n++; err != nil && r.n > 1 {
		err = fmt.Errorf("record %d: %w", r.n, err)
	}
	return rec, err
}

// Parse reads one record. The error is a *model.FieldError, or wraps errNewer.
func Parse(doc []byte) (Record, error) {
	if !utf8.Valid(doc) {
		return Record{}, model.Fault("", "it is not UTF-8 text: give a bow record (JSON)")
	}
	var top map[string]json.RawMessage
	if err := json.Unmarshal(doc, &top); err != nil || top == nil {
		return Record{}, model.Fault("", "give a bow record, a JSON object with the field format")
	}
	// The version comes first: a newer one may have changed all else.
	if err := checkHead(top); err != nil {
		return Record{}, err
	}
	if err := checkNames(doc); err != nil {
		return Record{}, err
	}
	units, err := parseUnits(top)
	if err != nil {
		return Record{}, err
	}
	desc, err := ParseDescription(top["bow"], units)
	if err != nil {
		return Record{}, within("bow", err)
	}
	var docs []json.RawMessage
	entries, present := top["entries"]
	if err := json.Unmarshal(entries, &docs); err != nil && present {
		return Record{}, model.Fault("entries", "write a list of entries")
	}
	desc.Extra = extra(top)
	items, err := parseItems(docs, desc)
	if err != nil {
		return Record{}, err
	}
	return Record{Description: desc, Items: items}, nil
}

// checkHead checks that this is a record, and of a version that can be read here.
func checkHead(top map[string]json.RawMessage) error {
	c := &codec{fields: top}
	var format string
	var version int
	if c.get("format", &format); format != ourFormat {
		c.fail("format", "%q is not a bow record: write %q", model.Shortened(format), ourFormat)
	}
	if c.get("version", &version); version > ourVersion {
		return fmt.Errorf("version: %d: %w: write %d at most", version, errNewer, ourVersion)
	}
	if version < 1 {
		c.fail("version", "write %d", ourVersion)
	}
	return c.err
}

func parseUnits(top map[string]json.RawMessage) (units measure.Units, err error) {
	c := &codec{fields: top}
	if !c.get("units", &units) {
		c.fail("units", `missing: write {"length": "in", "force": "lbf"} or the like`)
	}
	return units, cmp.Or(c.err, model.CheckUnits(units))
}

// extra are the fields at the record's top that Description keeps beside the bow; nil for none.
func extra(top map[string]json.RawMessage) (kept map[string]json.RawMessage) {
	for name, value := range top {
		known := slices.Contains([]string{"format", "version", "bow", "entries"}, name)
		if known || name == "units" && len(members(value)) == 2 { // length and force
			continue
		}
		if kept == nil {
			kept = make(map[string]json.RawMessage)
		}
		kept[name] = compact(value)
	}
	return kept
}

// parseItems reads the entries in order and checks each against the bow.
//
// The record describes the bow as the last edit left it. Entries before an edit of its size, such as a limb
// cut shorter, were true of a bow that is no longer described, so entries of such a record are only checked
// against the largest possible bow.
func parseItems(docs []json.RawMessage, desc Description) ([]Item, error) {
	items := make([]Item, 0, len(docs))
	seen := make(map[string]int)
	bow := desc.Bow
	size, edits := len(desc.Doc), 0
	for i, doc := range docs {
		path := fmt.Sprintf("entries[%d]", i)
		item, err := ParseItem(doc, desc.Bow.Units)
		if err != nil {
			return nil, within(path, err)
		}
		if item.Entry.ID == "" {
			item.Entry.ID = derivedID(desc.Bow.ID, item.Doc, seen)
		} else if seen[item.Entry.ID]++; seen[item.Entry.ID] > 1 {
			return nil, model.Fault(path+".id", "%q stands twice: give each entry its own",
				model.Shortened(item.Entry.ID))
		}
		if edit, isEdit := item.Entry.What.(model.Edit); isEdit {
			resizes, err := desc.checkEdit(edit)
			if err != nil {
				return nil, within(path+".set", err)
			}
			size, edits = size+len(edit.Set), edits+1
			if size*edits > mostEditing {
				return nil, model.Fault(path, "%d changes of a description of %d bytes are too many", edits, size)
			}
			if resizes {
				bow = model.Largest(desc.Bow.Units)
			}
		}
		if _, shortens := item.Entry.What.(model.Shorten); shortens {
			bow = model.Largest(desc.Bow.Units)
		}
		items = append(items, item)
	}
	for i, item := range items {
		if err := bow.CheckEvent(item.Entry.What); err != nil {
			return nil, within(fmt.Sprintf("entries[%d]", i), err)
		}
	}
	return items, nil
}

// ParseDescription reads a record's "bow" object, whose numbers are in the given units.
func ParseDescription(doc json.RawMessage, units measure.Units) (Description, error) {
	if !isObject(doc) {
		return Description{}, model.Fault("", "missing: give an object that describes the bow")
	}
	var bow model.Bow
	c := reader(doc, units)
	c.bow(&bow)
	if err := cmp.Or(c.err, bow.Check()); err != nil {
		return Description{}, err
	}
	return Description{Bow: bow, Doc: compact(doc)}, nil
}

// ParseItem reads one entry, whose numbers are in the given units. See model.Bow.CheckEvent for the rest.
func ParseItem(doc json.RawMessage, units measure.Units) (Item, error) {
	if !isObject(doc) {
		return Item{}, model.Fault("", "give an object with the field kind")
	}
	c := reader(doc, units)
	var entry model.Entry
	var kind model.Kind
	c.head(&entry, &kind)
	for _, word := range []struct{ field, text string }{{"id", entry.ID}, {"kind", string(kind)}} {
		if len(word.text) > longestID {
			c.fail(word.field, "it is longer than %d bytes", longestID)
		}
	}
	if entry.What = c.event(kind, nil); c.err != nil {
		return Item{}, c.err
	}
	return Item{Entry: entry, Doc: compact(doc)}, nil
}

// ownNames are the names of the fields that the format knows.
func ownNames() map[string]bool {
	names := map[string]bool{
		"format": true, "version": true, "units": true, "length": true, "force": true, "bow": true, "entries": true,
	}
	c := &codec{names: names}
	c.bow(&model.Bow{})
	c.head(&model.Entry{}, new(model.Kind))
	for _, kind := range model.Kinds() {
		c.event(kind, nil)
	}
	return names
}

const (
	deepest   = 64 // levels of objects and lists that a record may have; its own fields need six
	mostNamed = 7  // levels that an error names below the top
)

// checkNames refuses a document in which an object has a field twice, since only one would be read, or a
// known field in capital letters, since the decoder would accept it and edits would not. It also refuses
// documents nested deeper than any record. doc must be valid JSON.
func checkNames(doc []byte) error {
	dec := json.NewDecoder(bytes.NewReader(doc))
	dec.UseNumber()
	return checkValue(dec, ownNames(), deepest)
}

// checkValue checks the next value. own are the format's names, nil inside an unknown field; more is how many
// levels the value may have.
func checkValue(dec *json.Decoder, own map[string]bool, more int) error {
	// Reading valid JSON cannot fail.
	open, _ := dec.Token()
	delim, _ := open.(json.Delim)
	if delim == 0 {
		return nil
	}
	if more == 0 {
		return model.Fault("", "it is nested too deep: write %d levels at most", deepest)
	}
	seen := make(map[string]bool)
	for i := 0; dec.More(); i++ {
		name, inner := "", own
		if delim == '{' {
			token, _ := dec.Token()
			name, _ = token.(string)
			if wrong := wrongName(name, seen, own); wrong != "" {
				return model.Fault(spellName(name), "%s", wrong)
			}
			if seen[name] = true; !own[name] {
				inner = nil
			}
		}
		if err := checkValue(dec, inner, more-1); err != nil {
			path := fmt.Sprintf("[%d]", i)
			if delim == '{' {
				path = spellName(name)
			}
			switch level := deepest - more; {
			case level == mostNamed:
				path += "…"
			case level > mostNamed:
				path = ""
			}
			return within(path, err)
		}
	}
	_, _ = dec.Token() // what closes it
	return nil
}

// wrongName says what is wrong with a field's name; "" for nothing.
func wrongName(name string, seen, own map[string]bool) string {
	if seen[name] {
		return "it stands twice: write each field once"
	}
	if own[name] {
		return ""
	}
	for ours := range own {
		if strings.EqualFold(ours, name) {
			return "write it " + ours
		}
	}
	return ""
}

// spellName prepares a field's name for an error: quoted unless it looks like one of ours.
func spellName(name string) string {
	const plain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-"
	if name != "" && strings.Trim(name, plain) == "" {
		return model.Shortened(name)
	}
	return fmt.Sprintf("%q", model.Shortened(name))
}
