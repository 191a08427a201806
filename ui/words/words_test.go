package words

import (
	"strings"
	"testing"

	"bendbook/model/say"
)

// The header's rule and the three forms are those of the GNU gettext manual, chapter "Additional functions for plural forms", for Polish.
const polish = `msgid ""
msgstr ""
"Language: pl\n"
"Plural-Forms: nplurals=3; plural=n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2;\n"

msgid "%d file"
msgid_plural "%d files"
msgstr[0] "%d plik"
msgstr[1] "%d pliki"
msgstr[2] "%d plików"

msgid "%s at %s"
msgstr "przy %[2]s: %[1]s"

msgid "left alone"
msgstr ""

msgid "%s of %d"
msgstr "%d z %s"
`

func TestATranslationIsSpoken(t *testing.T) {
	translation, faults := Read([]byte(polish))
	if len(faults) != 1 || !strings.Contains(faults[0].Error(), `"%s of %d" is said as "%d z %s"`) {
		t.Errorf("the faults are %q, want one of the two values in the wrong order", faults)
	}
	t.Cleanup(say.In(translation))
	for n, want := range map[int]string{1: "1 plik", 2: "2 pliki", 5: "5 plików", 12: "12 plików", 22: "22 pliki", 25: "25 plików"} {
		if got := say.N(n, "%d file", "%d files", n); got != want {
			t.Errorf("%d of them are said as %q, want %q", n, got, want)
		}
	}
	for got, want := range map[string]string{
		say.F("%s at %s", "44 lb", "28 in"):      "przy 28 in: 44 lb",
		say.It("left alone"):                     "left alone",
		say.It("never heard of"):                 "never heard of",
		say.F("%s of %d", "one", 3):              "one of 3",
		say.N(1, "%d cat", "%d cats", 1):         "1 cat",
		say.N(3, "%d cat", "%d cats", 3):         "3 cats",
		say.Error("left alone").Error():          "left alone",
		say.Errorf("%s at %s", "a", "b").Error(): "przy b: a",
	} {
		if got != want {
			t.Errorf("said %q, want %q", got, want)
		}
	}
}

func TestNothingIsWrongWithTheTemplate(t *testing.T) {
	translation, faults := Read(Template)
	if missing, all := translation.Missing(); len(faults) > 0 || len(missing) != all || all < 1000 {
		t.Errorf("the template has faults %q and leaves %d of %d to be said", faults, len(missing), all)
	}
}

func FuzzTranslation(f *testing.F) {
	f.Add(polish)
	f.Add(string(Template[:2000]))
	f.Add("msgid \"\nmsgstr[9] \"%[0]d\"\n\"Plural-Forms: nplurals=1; plural=n%0;\\n\"")
	f.Fuzz(func(t *testing.T, file string) {
		translation, _ := Read([]byte(file))
		for id := range translation.of {
			if said := translation.Say(id); said == "" && id != "" {
				t.Errorf("%q is said as nothing", id)
			}
		}
		translation.SayMany(0, "%d file", "%d files")
		translation.SayMany(7, "%d file", "%d files")
	})
}

// A line of the card whose place has another name would be left out, a caution with it.
func TestATranslationKeepsThePlacesOfACard(t *testing.T) {
	file := func(said string) []byte {
		return []byte("msgid \"\"\nmsgstr \"\"\n\"Language: de\\n\"\n\nmsgid \"Never past {draw} {draw_to}.\"\nmsgstr \"" + said + "\"\n")
	}
	for said, faulty := range map[string]bool{
		"Nie über {draw} {draw_to}.": false, "{draw_to}: nie über {draw}.": false, "Nie über {auszug} {draw_to}.": true, "Nie zu weit.": true, "": false,
	} {
		_, faults := Read(file(said))
		if (len(faults) > 0) != faulty {
			t.Errorf("%q: the faults are %q", said, faults)
		}
	}
}
