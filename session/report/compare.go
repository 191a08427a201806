package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// Line is one figure for each of the bows that are compared.
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
		f, err := s.Finishing(story)
		if err != nil {
			return nil, err
		}
		for k, pair := range bowFigures(story, f, settings) {
			if i == 0 {
				lines = append(lines, Line{Name: pair[0]})
			}
			lines[k].Cells = append(lines[k].Cells, pair[1])
		}
	}
	return append(lines, peaksAlike(bows, settings)...), nil
}

// peaksAlike are the last peaks at draws to which at least two of the bows were pulled, with the draw as the
// name.
func peaksAlike(bows []session.Story, settings finish.Settings) (lines []Line) {
	var draws []measure.Length
	for _, story := range bows {
		for _, pull := range lastPeaks(story) {
			if !slices.ContainsFunc(draws, func(d measure.Length) bool { return session.SameDraw(d, pull.Draw) }) {
				draws = append(draws, pull.Draw)
			}
		}
	}
	slices.Sort(draws)
	for _, draw := range draws {
		line, n := Line{Name: "at " + bows[0].Bow().ShownIn(settings.Units).Ruler().WithUnit(draw)}, 0
		for _, story := range bows {
			cell := ""
			peaks := lastPeaks(story)
			same := func(pull model.Pull) bool { return session.SameDraw(pull.Draw, draw) }
			if i := slices.IndexFunc(peaks, same); i >= 0 {
				cell = story.Bow().ShownIn(settings.Units).Weigher().WithUnit(peaks[i].Peak.Or(0)) +
					strings.TrimSuffix(session.SayLong(peaks[i]), " string")
				n++
			}
			line.Cells = append(line.Cells, cell)
		}
		if n > 1 {
			lines = append(lines, line)
		}
	}
	return lines
}

// lastPeaks are the peaks of the last pass that has any, by draw.
func lastPeaks(story session.Story) []model.Pull {
	_, pass, ok := story.Weight()
	if !ok {
		return nil
	}
	return story.Passes[pass].Peaks()
}

// bowFigures are the figures of one bow with their names, in the order in which they are shown.
func bowFigures(story session.Story, f verdict.Finishing, settings finish.Settings) [][2]string {
	bow := story.Bow().ShownIn(settings.Units)
	rule, scale := bow.Ruler(), bow.Weigher()
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
		last, _ := story.TillerOf(story.Pass().Number)
		if gap, ok := last.AtAim(); ok {
			return rule.PrintSigned(gap.Difference) + ", aim " + rule.PrintSigned(t)
		}
		return fmt.Sprintf("%s at %s", rule.PrintSigned(t), rule.Short(session.TillerAt(bow)))
	}
	lost := func(of measure.Optional[measure.Force]) func(float64) string {
		return func(share float64) string { return scale.WithUnit(of.Or(0) * measure.Force(share)) }
	}
	limbs := rule.Short(bow.Limbs[model.Upper].Length) + ", " + rule.Short(bow.Limbs[model.Lower].Length)
	return [][2]string{
		{"number", plain.Line(bow.Number)}, {"wood", plain.Line(bow.Wood)}, {"section", string(bow.Section)},
		{"length", rule.WithUnit(bow.Length())}, {"limbs", limbs}, {"order", known(bow.Order.Weight, ordered)},
		{"draw", known(bow.Order.Draw, draw)}, {"stage", story.Stage()},
		{"passes", strconv.Itoa(story.Pass().Number)},
		{"scrapes", some(len(counting[model.Scrape](story.Lines)))}, {"strokes", some(story.Strokes())},
		{"hours", hours(story)}, {"exercise", some(pulls)}, {"set taken", known(story.SetTaken(), rule.WithUnit)},
		{"on the tree", known(first.Tree, scale.WithUnit)}, {"finished", known(first.Finished, scale.WithUnit)},
		{"after use", known(first.Used, scale.WithUnit)},
		{"finishing took", known(first.Sanding(), lost(first.Finished))},
		{"use took", known(first.Settling(), lost(first.Used))}, {"stamped", plain.Line(f.Stamped)},
		{"tiller", known(bow.Aim.Tiller, tiller)}, {"brace height", known(story.BraceHeight(), rule.WithUnit)},
		{"string", sayString(story, nil)},
	}
}

// hours are those of all sessions, to the quarter; "" for less.
func hours(story session.Story) string {
	var all time.Duration
	for _, sitting := range story.Sessions {
		all += sitting.To.Sub(sitting.From)
	}
	return strings.TrimPrefix(strconv.FormatFloat(math.Round(4*all.Hours())/4, 'f', -1, 64)+" h", "0 h")
}

func some(n int) string { return strings.TrimPrefix(strconv.Itoa(n), "0") }

// SayKind sums up the shop's finished bows of a kind in a sentence.
func SayKind(k shop.Kind) string {
	name := cmp.Or(plain.Line(k.Wood), "wood not named")
	if k.Section != "" {
		name += fmt.Sprintf(", section %s", k.Section)
	}
	parts := sentences{fmt.Sprintf("%s: %d finished, %d passes", name, k.Count, k.Passes)}
	if k.Strokes > 0 {
		parts.addf("%d strokes", k.Strokes)
	}
	parts.add(known(k.Set, func(set measure.Length) string {
		return measure.Rule{Unit: k.Units.Length}.WithUnit(set) + " of set"
	}))
	mean := func(a finish.Allowance) string {
		return fmt.Sprintf("%.1f%% (%.1f to %.1f, from %d)", 100*a.Mean, 100*max(0, a.Low), 100*a.High, a.Count)
	}
	return fmt.Sprintf("%s (the middle one of each); finishing takes %s, first use %s",
		strings.Join(parts, ", "), mean(k.Takes.Sanding), mean(k.Takes.Settling))
}
