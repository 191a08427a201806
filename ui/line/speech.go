package line

import (
	"io"
	"regexp"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/ui/look"
)

// How things are said: one thing a line, in words that are read well aloud.

// print prints text as it is, as far as anything can be printed.
func (t *talk) print(text string) {
	if t.broken == nil {
		_, t.broken = io.WriteString(t.out, text)
	}
}

// say prints one line.
func (t *talk) say(text string) {
	if t.midway {
		t.print("\n")
		t.midway = false
	}
	t.print(t.spell(text) + "\n")
}

func (t *talk) sayf(format say.Word, args ...any) { t.say(say.F(format, args...)) }

// spell is text safe to show, in plain ASCII where there is nothing else; letters of names stay.
func (t *talk) spell(text string) string {
	return look.Styles{ASCII: t.desk.ASCII}.Spell(plain.Line(text))
}

// sayParts says sentences under their headings.
func (t *talk) sayParts(parts []advice.Part) {
	for _, p := range parts {
		t.say(p.Heading + ":")
		for _, text := range p.Texts {
			t.say(ended(session.Capital(spoken(text))))
		}
	}
}

var sign = regexp.MustCompile(`(^|[\s(,:])([+-])(\d)`)

// signs says the signs between figures by words.
func signs() *strings.Replacer {
	between := func(word say.Word) string { return " " + word.String() + " " }
	return strings.NewReplacer(" ± ", between("plus or minus"), " - ", between("less"), " + ", between("plus"), " = ", between("is"))
}

// spoken is a sentence of figures as it is read aloud: a sign before a figure is a word, for many voices leave it out.
func spoken(text string) string {
	return sign.ReplaceAllStringFunc(signs().Replace(text), func(found string) string {
		last := len(found) - 1
		word := say.It("plus") + " "
		if found[last-1] == '-' {
			word = say.It("minus") + " "
		}
		return found[:last-1] + word + found[last:]
	})
}

// unitName is a unit as it is read aloud.
func unitName(unit string) string {
	switch unit {
	case "in":
		return say.It("inches")
	case "cm":
		return say.It("centimetres")
	case "mm":
		return say.It("millimetres")
	case "lb":
		return say.It("pounds")
	case "kg":
		return say.It("kilograms")
	case "N":
		return say.It("newtons")
	case "%":
		return say.It("per cent")
	case "C":
		return say.It("degrees Celsius")
	case "F":
		return say.It("degrees Fahrenheit")
	}
	return unit
}

// more tells how a length changed: "1/16 more", "1/8 less", "the same".
func more(rule measure.Rule, by measure.Length) string {
	switch by = rule.Round(by); {
	case by > 0:
		return say.F("%s more", rule.Print(by))
	case by < 0:
		return say.F("%s less", rule.Print(-by))
	}
	return say.It("the same")
}

// ended is a sentence with its point.
func ended(text string) string {
	if text == "" || strings.ContainsAny(text[len(text)-1:], ".?!:") {
		return text
	}
	return text + "."
}
