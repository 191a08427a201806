package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// changes say what a session changed: the weight at the same draws, the tiller, the limbs, and wood taken.
func changes(story session.Story, sitting session.Session) []block {
	bow := story.Bow()
	rule, scale := bow.Ruler(), bow.Weigher()
	before, during := story.Lines[:sitting.First], story.LinesIn(sitting)
	var points sentences
	pulled, pulls := pullsOnOne(before, during)
	earlier := session.Peaks(pulled)
	for _, pull := range session.Peaks(pulls) {
		i := slices.IndexFunc(earlier, func(was model.Pull) bool { return session.SameDraw(was.Draw, pull.Draw) })
		if i < 0 {
			continue
		}
		was, now := earlier[i].Peak.Or(0), pull.Peak.Or(0)
		points.addf("Weight at %s: was %s, now %s (%s).",
			rule.WithUnit(pull.Draw), scale.Print(was), scale.WithUnit(now), scale.PrintSigned(now-was))
	}
	was, wasKnown := lastTiller(bow, before)
	if now, nowKnown := lastTiller(bow, during); wasKnown && nowKnown {
		points.addf("Tiller at %s (braced, upper − lower): was %s, now %s.",
			rule.WithUnit(was.At), rule.PrintSigned(was.Difference), signed(rule, now.Difference))
	}
	points.add(movedReadings(bow, pulled, pulls))
	if scrapes := len(counting[model.Scrape](during)); scrapes == 1 {
		points.add("Wood came off in one place.")
	} else if scrapes > 1 {
		points.addf("Wood came off in %d places.", scrapes)
	}
	if len(points) == 0 {
		return nil
	}
	return []block{{Text: "Since the session before:"}, {List: points}}
}

// pullsOnOne are the pulls of before and during on the string that the bow was pulled on last: only these
// compare.
func pullsOnOne(before, during []session.Line) (was, now []model.Pull) {
	on := -1
	for _, line := range slices.Backward(during) {
		if _, isPull := line.Entry.What.(model.Pull); isPull && line.Counts() {
			on = line.On
			break
		}
	}
	other := func(line session.Line) bool { return line.On != on }
	of := func(lines []session.Line) []model.Pull {
		return counting[model.Pull](slices.DeleteFunc(slices.Clone(lines), other))
	}
	return of(before), of(during)
}

// counting returns the events of one kind that were not struck out.
func counting[E model.Event](lines []session.Line) []E {
	var all []E
	for _, line := range lines {
		if e, is := line.What.(E); is && line.Counts() {
			all = append(all, e)
		}
	}
	return all
}

// movedReadings says how the limbs changed at the longest draw read before and now: where each moved most.
func movedReadings(bow model.Bow, before, during []model.Pull) string {
	was := lastReadings(before)
	for _, now := range slices.Backward(lastReadings(during)) {
		i := slices.IndexFunc(was, func(earlier model.Pull) bool { return samePose(earlier, now) })
		if i < 0 {
			continue
		}
		moves := sayMoves(bow, was[i].Readings, now.Readings, "the %s limb %s at %s", "the %s limb as before")
		if len(moves) == 0 {
			return ""
		}
		return fmt.Sprintf("Drawn to %s, the distances to the %s changed most: %s.",
			bow.Ruler().WithUnit(now.Draw), now.From, strings.Join(moves, ", "))
	}
	return ""
}

func samePose(a, b model.Pull) bool { return session.SameDraw(a.Draw, b.Draw) && a.From == b.From }

// sayMoves says where each limb that was read both times changed most. most is a format for the limb, the
// change and the place; none is one for a limb that stands as before.
func sayMoves(bow model.Bow, was, now model.Readings, most, none string) sentences {
	rule := bow.Ruler()
	var said sentences
	for _, side := range model.Sides {
		var place measure.Length
		var change measure.Optional[measure.Length]
		for i, at := range bow.Limbs[side].Stations {
			by := moved(was.At(side, i), now.At(side, i))
			if by.Known() && (!change.Known() || size(by) > size(change)) {
				place, change = at, by
			}
		}
		switch by, known := change.Get(); {
		case !known:
		case rule.Round(by) == 0:
			said.addf(none, side)
		default:
			said.addf(most, side, signed(rule, by), rule.WithUnit(place))
		}
	}
	return said
}

// moved is how much a reading grew; unknown where it was not read both times.
func moved(before, now measure.Optional[measure.Length]) (by measure.Optional[measure.Length]) {
	if before.Known() && now.Known() {
		by = measure.Some(now.Or(0) - before.Or(0))
	}
	return by
}

func size(d measure.Optional[measure.Length]) measure.Length { return max(d.Or(0), -d.Or(0)) }

// lastReadings returns the last pull at each draw at which stations were read, the shortest draw first.
func lastReadings(all []model.Pull) []model.Pull {
	var pulls []model.Pull
	for _, pull := range slices.Backward(all) {
		again := slices.ContainsFunc(pulls, func(other model.Pull) bool { return samePose(other, pull) })
		if pull.Readings.Any() && !again {
			pulls = append(pulls, pull)
		}
	}
	slices.SortStableFunc(pulls, func(a, b model.Pull) int { return cmp.Compare(a.Draw, b.Draw) })
	return pulls
}

// lastTiller is the difference between the braced limbs at the station of the bow's aim, as last read.
func lastTiller(bow model.Bow, lines []session.Line) (gap session.Gap, ok bool) {
	for _, braced := range slices.Backward(counting[model.Braced](lines)) {
		if gap, ok = session.TillerIn(bow, braced.Readings).AtAim(); ok && braced.From == model.FromString {
			return gap, true
		}
	}
	return session.Gap{}, false
}
