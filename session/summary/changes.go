package summary

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// changes tells what a session changed of what was known before it: weight at the same draws, the tiller, and in how
// many places wood came off.
func changes(story session.Story, sitting session.Session) []Block {
	bow := story.Bow()
	before, during := story.Lines[:sitting.First], story.LinesIn(sitting)
	var points List
	earlier := lastPeaks(before)
	for _, pull := range lastPeaks(during) {
		i := slices.IndexFunc(earlier, func(was model.Pull) bool { return session.SameDraw(was.Draw, pull.Draw) })
		if i < 0 {
			continue
		}
		was, now := earlier[i].Peak.Or(0), pull.Peak.Or(0)
		points = append(points, fmt.Sprintf("Weight at %s: was %s, now %s (%s).", bow.Ruler().WithUnit(pull.Draw),
			bow.Weigher().Print(was), bow.Weigher().WithUnit(now), bow.Weigher().PrintSigned(now-was)))
	}
	if was, ok := lastTiller(bow, before); ok {
		if now, ok := lastTiller(bow, during); ok {
			points = append(points, fmt.Sprintf("Braced, upper gap less lower gap at %s: was %s, now %s.", bow.Ruler().WithUnit(was.At),
				bow.Ruler().PrintSigned(was.Difference), signedWithUnit(bow, now.Difference)))
		}
	}
	points = append(points, movedReadings(bow, before, during)...)
	scrapes := 0
	for _, line := range during {
		if _, isScrape := line.Entry.What.(model.Scrape); isScrape && line.Counts() {
			scrapes++
		}
	}
	if scrapes > 0 {
		points = append(points, fmt.Sprintf("Wood came off in %s.", places(scrapes)))
	}
	if len(points) == 0 {
		return nil
	}
	return []Block{Paragraph("Since the session before:"), points}
}

// movedReadings tells by how much the limbs read otherwise at the longest draw that was read both before and now: of each
// limb the station that moved most.
func movedReadings(bow model.Bow, before, during []session.Line) List {
	was, now := lastReadings(before), lastReadings(during)
	for _, pull := range slices.Backward(now) {
		i := slices.IndexFunc(was, func(earlier model.Pull) bool {
			return session.SameDraw(earlier.Draw, pull.Draw) && earlier.From == pull.From
		})
		if i < 0 {
			continue
		}
		var parts []string
		for _, side := range model.Sides {
			if at, moved, ok := mostMoved(bow.Limbs[side].Stations, was[i].Readings[side], pull.Readings[side]); ok {
				text := fmt.Sprintf("the %s limb as before", side)
				if bow.Ruler().Round(moved) != 0 {
					text = fmt.Sprintf("the %s limb %s at %s", side, signedWithUnit(bow, moved), bow.Ruler().WithUnit(at))
				}
				parts = append(parts, text)
			}
		}
		if len(parts) == 0 {
			return nil
		}
		return List{fmt.Sprintf("Drawn %s, the distances to the %s that changed most: %s.",
			bow.Ruler().WithUnit(pull.Draw), pull.From, strings.Join(parts, ", "))}
	}
	return nil
}

// mostMoved is the station at which two rows differ most, and by how much; ok is false where none was read in both.
func mostMoved(stations []measure.Length, was, now []measure.Optional[measure.Length]) (at, moved measure.Length, ok bool) {
	for i := range min(len(stations), len(was), len(now)) {
		a, aRead := was[i].Get()
		b, bRead := now[i].Get()
		if !aRead || !bRead {
			continue
		}
		if change := b - a; !ok || max(change, -change) > max(moved, -moved) {
			at, moved, ok = stations[i], change, true
		}
	}
	return at, moved, ok
}

// lastReadings are the pulls at which stations were read, the last at each draw, by draw.
func lastReadings(lines []session.Line) []model.Pull {
	var pulls []model.Pull
	for _, line := range slices.Backward(lines) {
		pull, isPull := line.Entry.What.(model.Pull)
		same := func(other model.Pull) bool { return session.SameDraw(other.Draw, pull.Draw) && other.From == pull.From }
		if isPull && line.Counts() && pull.Readings.Any() && !slices.ContainsFunc(pulls, same) {
			pulls = append(pulls, pull)
		}
	}
	slices.SortStableFunc(pulls, func(a, b model.Pull) int { return cmp.Compare(a.Draw, b.Draw) })
	return pulls
}

// lastPeaks are the pulls with a peak, the last at each draw, by draw.
func lastPeaks(lines []session.Line) []model.Pull {
	var pulls []model.Pull
	for _, line := range lines {
		if pull, isPull := line.Entry.What.(model.Pull); isPull && line.Counts() {
			pulls = append(pulls, pull)
		}
	}
	return session.Peaks(pulls)
}

// lastTiller is the last difference between the limbs that was read, braced, at the station of the bow's aim.
func lastTiller(bow model.Bow, lines []session.Line) (gap session.Gap, ok bool) {
	for _, line := range slices.Backward(lines) {
		braced, isBraced := line.Entry.What.(model.Braced)
		if !isBraced || !line.Counts() || braced.From != model.FromString {
			continue
		}
		if gap, ok := session.TillerIn(bow, braced.Readings).AtAim(); ok {
			return gap, true
		}
	}
	return session.Gap{}, false
}

func signedWithUnit(bow model.Bow, l measure.Length) string {
	return bow.Ruler().PrintSigned(l) + " " + string(bow.Units.Length)
}

func places(n int) string {
	if n == 1 {
		return "one place"
	}
	return fmt.Sprintf("%d places", n)
}
