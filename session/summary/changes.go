package summary

import (
	"fmt"

	"bendbook/model"
	"bendbook/session"
)

// changes tells what changed since the session before: weight at the same draws, the tiller, and what came off.
func changes(story session.Story, sitting session.Session) []Block {
	bow := story.Bow()
	before := story.Sessions[sitting.Number-2]
	was, now := passAt(story, before), passAt(story, sitting)
	var points List
	for _, pull := range now.Peaks() {
		peak, _ := pull.Peak.Get()
		if earlier, known := was.Peak(pull.Draw).Get(); known && was.Number != now.Number {
			points = append(points, fmt.Sprintf("Weight at %s: %s, now %s (%s).", bow.Ruler().WithUnit(pull.Draw),
				bow.Weigher().Print(earlier), bow.Weigher().WithUnit(peak), bow.Weigher().PrintSigned(peak-earlier)))
		}
	}
	if tillerWas, ok := story.TillerOf(was.Number); ok {
		if tillerNow, ok := story.TillerOf(now.Number); ok && tillerNow.Pass != tillerWas.Pass {
			points = append(points, tillerChange(bow, tillerWas, tillerNow)...)
		}
	}
	scrapes := 0
	for _, line := range story.LinesIn(sitting) {
		if _, isScrape := line.Entry.What.(model.Scrape); isScrape && line.Counts() {
			scrapes++
		}
	}
	if scrapes > 0 {
		points = append(points, fmt.Sprintf("Wood was taken in %s.", places(scrapes)))
	}
	if len(points) == 0 {
		return nil
	}
	return []Block{Paragraph("Since the session before:"), points}
}

func tillerChange(bow model.Bow, was, now session.Tiller) List {
	rule := bow.Ruler()
	var points List
	for _, gap := range now.Gaps {
		for _, earlier := range was.Gaps {
			if gap.At == earlier.At && gap.At == now.AimAt {
				points = append(points, fmt.Sprintf("Upper less lower at %s, braced: %s, now %s.", rule.WithUnit(gap.At),
					rule.PrintSigned(earlier.Difference), rule.PrintSigned(gap.Difference)))
			}
		}
	}
	return points
}

// passAt is the pass that stood at the end of a session.
func passAt(story session.Story, sitting session.Session) session.Pass {
	return story.Passes[story.Lines[sitting.Last].Pass]
}

func places(n int) string {
	if n == 1 {
		return "one place"
	}
	return fmt.Sprintf("%d places", n)
}
