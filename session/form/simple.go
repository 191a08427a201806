package form

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

func exerciseKind() Kind {
	return asksFor(Kind{
		Key: "x", Name: "exercise", Long: "Enter how many easy pulls the bow was exercised.",
		About: "Easy pulls that let the bow settle after scraping, before it is read again.",
	}, valueField("pulls", Question{
		Must: true, Preset: "20", Hint: "how many easy pulls; 10 to 30 is common practice",
	}, counts(1, 100_000), func(e *model.Exercise) *int { return &e.Pulls }))
}

func noteKind() Kind {
	return asksFor(Kind{
		Key: "n", Name: "note", Long: "Write a note in your own words.",
		About: "A line in your own words, kept with the bow's story.",
	}, wordsField("text", Question{Label: "note", Must: true, Hint: "a line in your own words"},
		func(n *model.Note) *string { return &n.Text }))
}

func stringKind() Kind {
	return asks(Kind{
		Key: "l", Name: "string length", Long: "Enter the string's length between the nocks.",
		Form: "string", Word: "string length", Title: "String", About: "The string's length between the nocks.",
	}, func(story session.Story, _ model.StringLength) table[model.StringLength] {
		bow := story.Bow()
		return table[model.StringLength]{fields: []field[model.StringLength]{
			valueField("length", Question{
				Label: "string length", Unit: string(bow.Units.Length), Must: true,
				Hint: fmt.Sprintf("between the nocks, such as %s", exampleLength(bow.Units.Length, 69.75)),
				was:  func(*Sheet) string { return optional(story.StringLength(), bow.Ruler().Print) },
			}, exactLengths(), func(l *model.StringLength) *measure.Length { return &l.Length }),
		}}
	})
}

// Void asks why an entry no longer counts.
func Void(id, what string) *Sheet {
	why := wordsField("why", Question{Must: true, Hint: "the reason, such as: rule held at the wrong mark"},
		func(v *model.Void) *string { return &v.Why })
	return entrySheet(Kind{Form: "void", Title: fmt.Sprintf("Void: %s", what)},
		table[model.Void]{was: model.Void{Entry: id}, fields: []field[model.Void]{why}})
}

// Aside asks why a bow is set aside.
func Aside() *Sheet {
	why := wordsField("why", Question{Group: "set aside", Hint: "what it waits for, such as: horn ordered; " +
		"Enter alone for no reason"},
		func(r *model.Rack) *string { return &r.Why })
	return entrySheet(Kind{Form: asideForm, Title: "Set aside"},
		table[model.Rack]{fields: []field[model.Rack]{why}})
}
