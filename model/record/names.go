package record

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"unicode"

	"bendbook/model/measure"
)

// place is where the walk of checkNames stands in an object or a list.
type place struct {
	names map[string]bool // fields of the object so far; nil in a list
	name  string          // the object's field
	named bool            // the field's name was read, its value was not
	index int             // in the list
	ours  bool            // what stands here is a part of the format, not of a field that this version does not know
}

// ownNames are the names of the format's own fields, by their folded spelling.
var ownNames = collectNames(
	reflect.TypeFor[bowDoc](), reflect.TypeFor[relaxedDoc](), reflect.TypeFor[stringDoc](), reflect.TypeFor[bracedDoc](), reflect.TypeFor[pullDoc](),
	reflect.TypeFor[scrapeDoc](), reflect.TypeFor[exerciseDoc](), reflect.TypeFor[finishDoc](), reflect.TypeFor[moistureDoc](), reflect.TypeFor[noteDoc](),
	reflect.TypeFor[voidDoc](), reflect.TypeFor[editDoc](), reflect.TypeFor[rackDoc](), reflect.TypeFor[measure.Units](),
)

func collectNames(docs ...reflect.Type) map[string]string {
	names := make(map[string]string)
	for _, name := range []string{"format", "version", "units", "bow", "entries"} {
		names[fold(name)] = name
	}
	var add func(t reflect.Type)
	add = func(t reflect.Type) {
		if t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
		if t.Kind() != reflect.Struct {
			return
		}
		for _, field := range reflect.VisibleFields(t) {
			if name, _, _ := strings.Cut(field.Tag.Get("json"), ","); name != "" {
				names[fold(name)] = name
				add(field.Type)
			}
		}
	}
	for _, t := range docs {
		add(t)
	}
	return names
}

// deepest is how many levels of objects and lists a record may have; its own fields need six.
const deepest = 64

// checkNames refuses a document in which an object has a field twice, for one would be read and the other lost from
// sight, or a field of the format in capital letters, for the decoder would take it and the edits would not. It also
// refuses what is nested deeper than any record. doc must be valid JSON.
func checkNames(doc []byte) error {
	var path []place
	for i := 0; i < len(doc); i++ {
		switch doc[i] {
		case '{', '[':
			if len(path) == deepest {
				return fieldError(spell(path), "it is nested too deep; expected %d levels at most", deepest)
			}
			p := place{ours: len(path) == 0 || path[len(path)-1].holdsOurs()}
			if doc[i] == '{' {
				p.names = make(map[string]bool)
			}
			path = append(path, p)
		case '}', ']':
			path = path[:len(path)-1]
		case ',':
			path[len(path)-1].index++
			path[len(path)-1].named = false
		case '"':
			end := stringEnd(doc, i)
			if len(path) > 0 && path[len(path)-1].names != nil && !path[len(path)-1].named {
				if wrong := path[len(path)-1].enter(doc[i:end]); wrong != "" {
					return fieldError(spell(path), "%s", wrong)
				}
			}
			i = end - 1
		}
	}
	return nil
}

// stringEnd is the place after the JSON string that starts at start.
func stringEnd(doc []byte, start int) int {
	i := start + 1
	for doc[i] != '"' {
		if doc[i] == '\\' {
			i++
		}
		i++
	}
	return i + 1
}

// enter reads the name of a field and says what is wrong with it; "" is nothing.
func (p *place) enter(quoted []byte) (wrong string) {
	// The name is a valid JSON string, so reading it cannot fail.
	_ = json.Unmarshal(quoted, &p.name)
	p.named = true
	if p.names[p.name] {
		return "it stands twice; expected each field once"
	}
	p.names[p.name] = true
	if own, isOurs := ownNames[fold(p.name)]; isOurs && p.ours && own != p.name {
		return fmt.Sprintf("expected the spelling %s", own)
	}
	return ""
}

// holdsOurs says whether the value at hand is a part of the format.
func (p *place) holdsOurs() bool {
	return p.ours && (p.names == nil || ownNames[fold(p.name)] == p.name)
}

// spell is the path as errors name it; what is deep is cut short.
func spell(path []place) string {
	const most = 8
	var b strings.Builder
	for i, p := range path {
		switch {
		case i == most:
			return b.String() + "…"
		case p.names == nil:
			fmt.Fprintf(&b, "[%d]", p.index)
			continue
		case i > 0:
			b.WriteByte('.')
		}
		b.WriteString(spellName(p.name))
	}
	return b.String()
}

// spellName is a field's name as an error may show it: as it is where it looks like one of ours.
func spellName(name string) string {
	if name != "" && strings.Trim(name, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") == "" {
		return shorten(name)
	}
	return fmt.Sprintf("%q", shorten(name))
}

// fold is the same for all names that encoding/json takes for one another.
func fold(name string) string { return strings.Map(foldLetter, name) }

// foldLetter is the same for all letters that encoding/json takes for one another.
func foldLetter(r rune) rune {
	least := r
	for next := unicode.SimpleFold(r); next != r; next = unicode.SimpleFold(next) {
		least = min(least, next)
	}
	return least
}
