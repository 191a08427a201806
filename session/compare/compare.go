// Package compare sets bows side by side: what was ordered, what it took, and what came of it.
// It must not know how wide a screen is: it gives cells of text, the screen cuts them.
package compare

import (
	"fmt"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
)

// Line is one figure of every bow.
type Line struct {
	Name  string
	Cells []string // one a bow; "" where it is not known
}

// Of sets bows side by side, in the shop's units.
func Of(shop *session.Shop, bows []session.Story) ([]Line, error) {
	settings, err := shop.Settings()
	if err != nil {
		return nil, err
	}
	columns := make([]map[string]string, len(bows))
	for i, story := range bows {
		if columns[i], err = figures(shop, settings, story); err != nil {
			return nil, err
		}
	}
	lines := make([]Line, len(names))
	for k, name := range names {
		lines[k] = Line{Name: name, Cells: make([]string, len(bows))}
		for i := range bows {
			lines[k].Cells[i] = columns[i][name]
		}
	}
	return lines, nil
}

// names are the figures in the order in which they are shown.
var names = []string{
	"number", "wood", "section", "length", "limbs", "order", "draw", "stage", "passes", "scrapes", "strokes", "exercise", "set taken",
	"on the tree", "finished", "after use", "finishing took", "use took", "stamped", "tiller", "brace height", "string",
}

func figures(shop *session.Shop, settings finish.Settings, story session.Story) (map[string]string, error) {
	bow := story.Bow().ShownIn(settings.Units)
	rule, scale := bow.Ruler(), bow.Weigher()
	f, err := shop.Finishing(story)
	if err != nil {
		return nil, err
	}
	first := session.FirstWeighings(story, settings)
	weight := func(v measure.Optional[measure.Force]) string {
		if w, known := v.Get(); known {
			return scale.WithUnit(w)
		}
		return ""
	}
	length := func(v measure.Optional[measure.Length]) string {
		if l, known := v.Get(); known {
			return rule.WithUnit(l)
		}
		return ""
	}
	scrapes, pulls := 0, 0
	var brace measure.Optional[measure.Length]
	for _, line := range story.Lines {
		if !line.Counts() {
			continue
		}
		switch what := line.Entry.What.(type) {
		case model.Scrape:
			scrapes++
		case model.Exercise:
			pulls += what.Pulls
		case model.Braced:
			if what.Height.Known() {
				brace = what.Height
			}
		}
	}
	order := ""
	if w, known := bow.Order.Weight.Get(); known {
		order = session.SayOrdered(bow, w)
	}
	draw := ""
	if d, known := bow.Order.Draw.Get(); known {
		draw = rule.Short(d) + " " + string(rule.Unit) + " " + string(bow.Order.DrawTo)
	}
	tiller := ""
	if t, known := bow.Aim.Tiller.Get(); known {
		tiller = fmt.Sprintf("%s at %s", rule.PrintSigned(t), rule.Short(session.TillerAt(bow)))
	}
	return map[string]string{
		"number": plain.Line(bow.Number), "wood": plain.Line(bow.Wood), "section": string(bow.Section), "length": rule.WithUnit(bow.Length()),
		"limbs": rule.Short(bow.Limbs[model.Upper].Length) + ", " + rule.Short(bow.Limbs[model.Lower].Length),
		"order": order, "draw": draw, "stage": story.Stage(), "passes": strconv.Itoa(story.Pass().Number), "scrapes": some(scrapes),
		"strokes": some(story.Strokes()), "exercise": some(pulls), "set taken": length(story.SetTaken()),
		"on the tree": weight(first.Tree), "finished": weight(first.Finished), "after use": weight(first.Used),
		"finishing took": weight(first.Sanding()), "use took": weight(first.Settling()),
		"stamped": plain.Line(f.Stamped), "tiller": tiller, "brace height": length(brace), "string": length(story.StringLength()),
	}, nil
}

func some(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// SayKind is a kind of the shop's bows in a sentence.
func SayKind(k session.Kind) string {
	scale := measure.Scale{Unit: k.Units.Force}
	name := plain.Line(k.Wood)
	if name == "" {
		name = "wood not named"
	}
	if k.Section != "" {
		name = fmt.Sprintf("%s, section %s", name, k.Section)
	}
	parts := []string{fmt.Sprintf("%s: %d finished, %d passes", name, k.Count, k.Passes)}
	if k.Strokes > 0 {
		parts = append(parts, fmt.Sprintf("%d strokes", k.Strokes))
	}
	if set, known := k.Set.Get(); known {
		parts = append(parts, fmt.Sprintf("%s of set", measure.Rule{Unit: k.Units.Length}.WithUnit(set)))
	}
	mean := func(a finish.Allowance) string {
		return fmt.Sprintf("%s (%s to %s, from %d)", scale.WithUnit(a.Mean), scale.Print(max(0, a.Low)), scale.Print(a.High), a.Count)
	}
	return fmt.Sprintf("%s (the middle one of each); finishing takes %s, first use %s", strings.Join(parts, ", "), mean(k.Takes.Sanding), mean(k.Takes.Settling))
}
