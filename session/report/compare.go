package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// Line is one figure of every bow, for bows that are set side by side.
type Line struct {
	Name  string
	Cells []string // one a bow; "" where it is not known
}

// Compare sets bows side by side, in the shop's units: what was ordered, what it took, and what came of it.
func Compare(s *shop.Shop, bows []session.Story) ([]Line, error) {
	settings, err := s.Settings()
	if err != nil {
		return nil, err
	}
	var lines []Line
	for i, story := range bows {
		all, err := bowFigures(s, settings, story)
		if err != nil {
			return nil, err
		}
		for k, f := range all {
			if i == 0 {
				lines = append(lines, Line{Name: f.Name})
			}
			lines[k].Cells = append(lines[k].Cells, f.Value)
		}
	}
	return lines, nil
}

// bowFigures are the figures of one bow, in the order in which they are shown.
func bowFigures(s *shop.Shop, settings finish.Settings, story session.Story) ([]fact, error) {
	bow := story.Bow().ShownIn(settings.Units)
	rule, scale := bow.Ruler(), bow.Weigher()
	f, err := s.Finishing(story)
	if err != nil {
		return nil, err
	}
	first := verdict.FirstWeighings(story, settings)
	pulls := 0
	for _, e := range counting[model.Exercise](story.Lines) {
		pulls += e.Pulls
	}
	ordered := func(w measure.Force) string { return session.SayOrdered(bow, w) }
	draw := func(d measure.Length) string {
		return rule.Short(d) + " " + string(rule.Unit) + " " + string(bow.Order.DrawTo)
	}
	tiller := func(t measure.Length) string {
		return fmt.Sprintf("%s at %s", rule.PrintSigned(t), rule.Short(session.TillerAt(bow)))
	}
	limbs := rule.Short(bow.Limbs[model.Upper].Length) + ", " + rule.Short(bow.Limbs[model.Lower].Length)
	var all []fact
	for pair := range slices.Chunk([]string{
		"number", plain.Line(bow.Number), "wood", plain.Line(bow.Wood), "section", string(bow.Section),
		"length", rule.WithUnit(bow.Length()), "limbs", limbs, "order", known(bow.Order.Weight, ordered),
		"draw", known(bow.Order.Draw, draw), "stage", story.Stage(), "passes", strconv.Itoa(story.Pass().Number),
		"scrapes", some(len(counting[model.Scrape](story.Lines))), "strokes", some(story.Strokes()),
		"exercise", some(pulls), "set taken", known(story.SetTaken(), rule.WithUnit),
		"on the tree", known(first.Tree, scale.WithUnit), "finished", known(first.Finished, scale.WithUnit),
		"after use", known(first.Used, scale.WithUnit), "finishing took", known(first.Sanding(), scale.WithUnit),
		"use took", known(first.Settling(), scale.WithUnit), "stamped", plain.Line(f.Stamped),
		"tiller", known(bow.Aim.Tiller, tiller), "brace height", known(braceHeight(story), rule.WithUnit),
		"string", known(story.StringLength(), rule.WithUnit),
	}, 2) {
		all = append(all, fact{Name: pair[0], Value: pair[1]})
	}
	return all, nil
}

func some(n int) string { return strings.TrimPrefix(strconv.Itoa(n), "0") }

// SayKind says what the shop's finished bows of a kind come to.
func SayKind(k shop.Kind) string {
	scale := measure.Scale{Unit: k.Units.Force}
	name := cmp.Or(plain.Line(k.Wood), "wood not named")
	if k.Section != "" {
		name += fmt.Sprintf(", section %s", k.Section)
	}
	parts := sentences{fmt.Sprintf("%s: %d finished, %d passes", name, k.Count, k.Passes)}
	if k.Strokes > 0 {
		parts.addf("%d strokes", k.Strokes)
	}
	if set, known := k.Set.Get(); known {
		parts = append(parts, measure.Rule{Unit: k.Units.Length}.WithUnit(set)+" of set")
	}
	mean := func(a finish.Allowance) string {
		low, high := scale.Print(max(0, a.Low)), scale.Print(a.High)
		return fmt.Sprintf("%s (%s to %s, from %d)", scale.WithUnit(a.Mean), low, high, a.Count)
	}
	return fmt.Sprintf("%s (the middle one of each); finishing takes %s, first use %s",
		strings.Join(parts, ", "), mean(k.Takes.Sanding), mean(k.Takes.Settling))
}
