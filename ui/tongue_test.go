package ui

import (
	"bytes"
	"encoding/json"
	"io"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/model/finish"
	"bendbook/model/say"
	"bendbook/model/say/saytest"
	"bendbook/session/advice"
	"bendbook/session/demo"
	"bendbook/session/page"
	"bendbook/session/paper"
	"bendbook/session/sheet"
	"bendbook/ui/look"
)

var (
	kept   = regexp.MustCompile(`%[-+# 0-9.\[\]]*[a-zA-Z%]|\{[^}]*\}`) // values, and the places of a stamp
	vowels = strings.NewReplacer("a", "ä", "e", "ë", "i", "ï", "o", "ö", "u", "ü", "y", "ÿ", "A", "Ä", "E", "Ë", "I", "Ï", "O", "Ö", "U", "Ü", "Y", "Ÿ")
)

// accents is a made-up tongue: English with other vowels, so that what is said past the tongue shows.
func accents(word say.Word) string {
	text, said := string(word), ""
	for {
		at := kept.FindStringIndex(text)
		if at == nil {
			return said + vowels.Replace(text)
		}
		said, text = said+vowels.Replace(text[:at[0]])+text[at[0]:at[1]], text[at[1]:]
	}
}

// lengthy is a tongue whose words are half as long again.
func lengthy(word say.Word) string {
	return regexp.MustCompile(`[äëïöüÿ]`).ReplaceAllStringFunc(accents(word), func(vowel string) string { return vowel + vowel })
}

// place is one of a stamp or a card that is filled in later; it is typed so in every tongue.
var place = regexp.MustCompile(`\{[^}]*\}`)

// plainWord is a run of letters with a vowel that no tongue has touched.
var plainWord = regexp.MustCompile(`\pL{3,}`)

// untouched are the words of a screen that are said in English.
func untouched(screen string) []string {
	var words []string
	for _, word := range plainWord.FindAllString(screen, -1) {
		if strings.ContainsAny(word, "aeiouyAEIOUY") && !strings.ContainsAny(word, "äëïöüÿÄËÏÖÜŸ") {
			words = append(words, strings.ToLower(word))
		}
	}
	return words
}

// own are the words that are no text of the program: what the demo's maker wrote, keys, formats, and names that are the same in every tongue.
func own(t *testing.T, typed ...string) map[string]bool {
	all := make(map[string]bool)
	add := func(text string) {
		for _, word := range plainWord.FindAllString(text, -1) {
			all[strings.ToLower(word)] = true
		}
	}
	add("Bendbook Markdown enter esc tab space pgup pgdown home end shift ctrl up down left right") // names, and keys as terminals call them
	add(strings.Join(typed, " "))
	for _, stage := range finish.Usual().Stages {
		add(stage.Name)
	}
	records, err := io.ReadAll(demo.Records(morning))
	if err != nil {
		t.Fatal(err)
	}
	var gather func(key string, value any)
	gather = func(key string, value any) {
		switch value := value.(type) {
		case map[string]any:
			for k, v := range value {
				gather(k, v)
			}
		case []any:
			for _, v := range value {
				gather(key, v)
			}
		case string:
			if slices.Contains([]string{"name", "wood", "for", "text", "tool", "step", "why", "number"}, key) {
				add(value)
			}
		}
	}
	for line := range bytes.Lines(records) {
		var record any
		if err := json.Unmarshal(line, &record); err != nil {
			t.Fatal(err)
		}
		gather("", record)
	}
	return all
}

// missed are the words of a text that are said in English, though they are none of those known.
func missed(text string, known map[string]bool) string {
	found := make(map[string]bool)
	for _, word := range untouched(place.ReplaceAllString(text, "")) {
		// A name may be cut.
		whole := func(name string) bool { return strings.HasPrefix(name, word) }
		if !known[word] && !slices.ContainsFunc(slices.Collect(maps.Keys(known)), whole) {
			found[word] = true
		}
	}
	return strings.Join(slices.Sorted(maps.Keys(found)), ", ")
}

// In another tongue no screen says a word in English, and none is larger than its window. These tests change the tongue of the whole program, so that none runs beside them.
func TestEveryScreenIsSaidInTheTongue(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs beside here")
	}
	t.Cleanup(say.In(saytest.Tongue(lengthy)))
	for _, view := range views {
		known := own(t, view.keys...)
		h := sit(t, look.NoColour, !view.empty, 200, 60)
		h.press(view.keys...)
		// A table is the same in every tongue.
		if words := missed(h.app.View(), known); words != "" && view.name != "summary-table" {
			t.Errorf("%s says in English: %s", view.name, words)
		}
		for _, size := range sizes {
			h.resize(size[0], size[1])
			h.fits(size[0], size[1])
		}
	}
}

func TestEveryLineIsSaidInTheTongue(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs beside here")
	}
	t.Cleanup(say.In(saytest.Tongue(accents)))
	lines := linesOf(wholeSession())
	shop, _ := newBook()
	said, _ := talk(t, shop, lines...)
	// Commands are words too; which there are is the same in every tongue.
	if words := missed(said, own(t, append(lines, commandWords(said)...)...)); words != "" {
		t.Errorf("the linear mode says in English: %s", words)
	}
}

// commandWords are the commands that a list of them names, each at the beginning of a line: "p or pull [ANSWER]: ...".
func commandWords(said string) []string {
	var words []string
	for _, found := range regexp.MustCompile(`(?m)^(?:\S+ \S+ )?(\S+)(?: [A-Z\[\], |]+)?: `).FindAllStringSubmatch(said, -1) {
		words = append(words, found[1])
	}
	return words
}

func TestEveryPaperIsSaidInTheTongue(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs beside here")
	}
	t.Cleanup(say.In(saytest.Tongue(accents)))
	h := sit(t, look.NoColour, true, 80, 24)
	rows, err := h.shop.Rack()
	if err != nil {
		t.Fatal(err)
	}
	known := own(t)
	tag := regexp.MustCompile(`(?s)<style.*?</style>|<[^>]*>`)
	for _, row := range rows {
		story, err := h.shop.Story(row.Bow.ID)
		if err != nil {
			t.Fatal(err)
		}
		var sheet bytes.Buffer
		if err := page.Tally(&sheet, story); err != nil {
			t.Fatal(err)
		}
		if words := missed(tag.ReplaceAllString(sheet.String(), " "), known); words != "" {
			t.Errorf("the tally sheet of %s says in English: %s", row.Bow.Name, words)
		}
		for _, form := range paper.Forms() {
			if form.Name == "csv" || form.Name == "json" {
				continue // the same in every tongue
			}
			var text bytes.Buffer
			if err := form.Write(&text, paper.Subject{Story: story, Practice: advice.Practice{Settings: advice.Usual()}, Place: time.UTC}); err != nil {
				t.Fatal(err)
			}
			if words := missed(tag.ReplaceAllString(text.String(), " "), known); words != "" {
				t.Errorf("the summary of %s as %s says in English: %s", row.Bow.Name, form.Name, words)
			}
		}
	}
}

// What is kept is the same in every tongue.
func TestTheBookIsTheSameInEveryTongue(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs beside here")
	}
	session := func() string {
		shop, _ := newBook()
		_, _ = talk(t, shop, linesOf(wholeSession())...)
		return export(t, shop)
	}
	english := session()
	t.Cleanup(say.In(saytest.Tongue(accents)))
	if other := session(); other != english {
		t.Errorf("another book comes of the same lines: %s", apart(english, other))
	}
}

// A shop's settings say in every tongue the same, so that they go from one book to another; the card is said in the tongue, but for what the
// shop wrote itself.
func TestTheSettingsAreTheSameInEveryTongue(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs beside here")
	}
	document := func(s finish.Settings) string {
		doc, err := s.Document()
		if err != nil {
			t.Fatal(err)
		}
		return string(doc)
	}
	english := document(finish.Usual())
	t.Cleanup(say.In(saytest.Tongue(accents)))
	if other := document(finish.Usual()); other != english {
		t.Errorf("the usual settings are others: %s", apart(english, other))
	}
	h := sit(t, look.NoColour, true, 120, 60)
	kept, err := finish.Parse([]byte(english))
	if err != nil {
		t.Fatal(err)
	}
	own := "Keep it dry; ask Ash."
	kept.Card.Care = append(kept.Card.Care, own)
	// Looked through on the form, and left as it is.
	for _, setting := range sheet.Settings(kept) {
		if setting.List == sheet.CardCare || setting.List == sheet.CardFacts {
			outcome, err := setting.Change.Finish()
			if err != nil {
				t.Fatal(err)
			}
			kept = outcome.Settings
		}
	}
	if err := h.shop.KeepSettings(kept); err != nil {
		t.Fatal(err)
	}
	doc, err := h.shop.SettingsDocument()
	if err != nil || strings.ContainsAny(string(doc), "äëïöüÿ") {
		t.Errorf("what is kept is said in a tongue: %s (%v)", doc, err)
	}
	h.press("f", "h")
	h.see("Wööd: ", own)
}
