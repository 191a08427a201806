// Package words brings Bendbook's texts into another tongue: it holds the template of all that the program says, and reads the translations that are made of it.
// Both are PO files, as GNU gettext lays them out (its manual, chapter "The Format of PO Files"), for which there are editors and other tools.
//
// It must not know where a text is said.
package words

import (
	_ "embed"
	"maps"
	"regexp"
	"slices"
	"strconv"

	"github.com/leonelquinteros/gotext"

	"bendbook/model/plain"
	"bendbook/model/say"
)

// Template is the file that a translator fills in: every text that the program says, in the order of the files that say it. A test keeps it true.
//
//go:embed bendbook.pot
var Template []byte

// Translation is a tongue that was read from a file.
type Translation struct {
	po *gotext.Po
	of map[say.Word]string
}

// Say implements say.Tongue.
func (t Translation) Say(word say.Word) string {
	if said := t.of[word]; said != "" {
		return said
	}
	return string(word)
}

// SayMany implements say.Tongue. Which form goes with a number is told by the file's Plural-Forms.
func (t Translation) SayMany(n int, one, many say.Word) string {
	english := string(say.Count(n, one, many))
	said := english
	// The library divides as the rule says, by nothing too.
	if !safely(func() {
		if t.po.IsTranslatedN(string(one), n) {
			said = t.po.GetN(string(one), string(many), n)
		}
	}) {
		return english
	}
	return said
}

// safely does what a file of the user's makes a library do, and says whether it came through.
func safely(do func()) (ok bool) {
	defer func() { ok = recover() == nil }()
	do()
	return true
}

// Read reads a translation, which may leave out what it likes: that is said in English. The faults name every text whose translation would not take
// the same values; those too are said in English.
func Read(file []byte) (t Translation, faults []error) {
	po := gotext.NewPo()
	if !safely(func() { po.Parse(file) }) {
		po = gotext.NewPo()
	}
	t = Translation{po, make(map[say.Word]string)}
	all := po.GetDomain().GetTranslations()
	for _, id := range slices.Sorted(maps.Keys(all)) {
		text := all[id]
		if id == "" {
			continue
		}
		for form, said := range text.Trs {
			if said == "" {
				continue
			}
			takes := values(id)
			if text.PluralID != "" && form > 0 {
				takes = values(text.PluralID)
			}
			if !maps.Equal(values(said), takes) {
				faults = append(faults, say.Errorf("%q is said as %q, which does not take the same values", plain.Line(id), plain.Line(said)))
				delete(text.Trs, form)
			} else if !slices.Equal(places(said), places(id)) {
				faults = append(faults, say.Errorf("%q is said as %q, which has not the same places in braces", plain.Line(id), plain.Line(said)))
				delete(text.Trs, form)
			}
		}
		if text.PluralID == "" {
			t.of[say.Word(id)] = text.Trs[0]
		}
	}
	if len(all) < 2 {
		faults = append(faults, say.Error("nothing is translated in it; expected a PO file as bendbook words begins one"))
	}
	return t, faults
}

// Missing are the texts of the template that the translation leaves in English, in their order, and how many texts there are in all.
func (t Translation) Missing() (missing []say.Word, all int) {
	texts := template()
	for id, text := range texts {
		if t.of[id] == "" && (text.PluralID == "" || t.SayMany(1, id, say.Word(text.PluralID)) == string(id)) {
			missing = append(missing, id)
		}
	}
	slices.Sort(missing)
	return missing, len(texts)
}

func template() map[say.Word]*gotext.Translation {
	po := gotext.NewPo()
	po.Parse(Template)
	all := make(map[say.Word]*gotext.Translation)
	for id, text := range po.GetDomain().GetTranslations() {
		if id != "" {
			all[say.Word(id)] = text
		}
	}
	return all
}

// verb is a place for a value in an outline, as package fmt takes it.
var verb = regexp.MustCompile(`%[-+# 0]*(?:\[(\d+)\])?[0-9]*(?:\.[0-9]+)?([a-zA-Z%])`)

// places are those in braces that a card or a stamp fills in, each once. A line of the card with another would never be filled, and so be left out.
func places(text string) []string {
	return slices.Compact(slices.Sorted(slices.Values(place.FindAllString(text, -1))))
}

var place = regexp.MustCompile(`\{[a-z_]+\}`)

// values are the values that an outline takes, each by its place with the letter that says how.
func values(outline string) map[int]string {
	takes := make(map[int]string)
	next := 1
	for _, found := range verb.FindAllStringSubmatch(outline, -1) {
		if found[2] == "%" {
			continue
		}
		if at, err := strconv.Atoi(found[1]); err == nil {
			next = at
		}
		takes[next] = found[2]
		next++
	}
	return takes
}
