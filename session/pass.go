package session

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
)

// Pass is the wood taken off or heated in one go and what was read after it, up to the next scraping.
type Pass struct {
	Number    int
	Scrapes   []model.Scrape
	Shortened bool // at a nock
	Heated    bool
	Shot      int // arrows
	Exercised int // pulls of exercise since the pass's last scrape
	Braced    []model.Braced
	Pulls     []model.Pull

	on       []int // of each pull, the number of its string
	lines    []int // indices of its entries among the story's lines, voided ones too
	readings []reading
	read     bool // something was read or pulled in it
}

// Pose is how a bow stood when it was read. Readings in one pose compare from pass to pass.
type Pose struct {
	Kind model.Kind // relaxed, braced or pull
	From model.Datum
	Draw measure.Length // of a pull; otherwise 0
	On   int            // the number of its string; 0 where it is relaxed
	Long bool           // that string is known to be a long one
}

// SameDraw says whether two draws are within 1/8 in of each other, so that readings at them compare.
func SameDraw(a, b measure.Length) bool { return math.Abs(float64(a-b)) <= 1.0/8 }

// Same says whether readings in both poses compare.
func (p Pose) Same(other Pose) bool {
	return p.Kind == other.Kind && p.From == other.From && p.On == other.On && SameDraw(p.Draw, other.Draw)
}

// Label names the pose: relaxed, braced, drawn 18 in, drawn 12 in on the long string.
func (p Pose) Label(rule measure.Rule) string {
	if p.Kind != model.KindPull {
		return string(p.Kind)
	}
	label := fmt.Sprintf("drawn %s", rule.WithUnit(p.Draw))
	if p.Long {
		label += " on the long string"
	}
	return label
}

// Datum says what the distances are measured to.
func (p Pose) Datum() string { return fmt.Sprintf("to the %s", p.From) }

// order puts relaxed before braced before pulls by draw.
func (p Pose) order(other Pose) int {
	rank := func(kind model.Kind) int {
		return slices.Index([]model.Kind{model.KindRelaxed, model.KindBraced, model.KindPull}, kind)
	}
	return cmp.Or(
		cmp.Compare(rank(p.Kind), rank(other.Kind)), cmp.Compare(p.Draw, other.Draw),
		cmp.Compare(p.From, other.From), cmp.Compare(p.On, other.On),
	)
}

type reading struct {
	pose Pose
	rows model.Readings
}

// note adds what was read in a pose. The pass counts as read even if no station was.
func (p *Pass) note(pose Pose, rows model.Readings) {
	p.read = true
	if rows.Any() {
		p.readings = append(p.readings, reading{pose, rows})
	}
}

// Poses are the poses in which stations were read in this pass: relaxed, braced, then pulls by draw.
func (p Pass) Poses() []Pose {
	var poses []Pose
	for _, r := range p.readings {
		if !slices.ContainsFunc(poses, r.pose.Same) {
			poses = append(poses, r.pose)
		}
	}
	slices.SortStableFunc(poses, Pose.order)
	return poses
}

// LastPose is the pose in which stations were last read in this pass; ok is false where none were.
func (p Pass) LastPose() (pose Pose, ok bool) {
	if n := len(p.readings); n > 0 {
		return p.readings[n-1].pose, true
	}
	return Pose{}, false
}

// Reading is the last reading of this pass in the given pose; ok is false where there is none.
func (p Pass) Reading(pose Pose) (rows model.Readings, ok bool) {
	for _, r := range slices.Backward(p.readings) {
		if r.pose.Same(pose) {
			return r.rows, true
		}
	}
	return model.Readings{}, false
}

// Peak is the last peak of this pass at the given draw on a string, by its number.
func (p Pass) Peak(draw measure.Length, on int) measure.Optional[measure.Force] {
	for i, pull := range slices.Backward(p.Pulls) {
		if pull.Peak.Known() && p.on[i] == on && SameDraw(pull.Draw, draw) {
			return pull.Peak
		}
	}
	return measure.Optional[measure.Force]{}
}

// Peaks are [Pass.PeaksOn] of the string that the pass last had a peak on.
func (p Pass) Peaks() []model.Pull { return p.PeaksOn(p.PulledOn()) }

// PulledOn is the number of the string that the pass last had a peak on.
func (p Pass) PulledOn() int {
	for i, pull := range slices.Backward(p.Pulls) {
		if pull.Peak.Known() {
			return p.on[i]
		}
	}
	return 0
}

// PeaksOn are [Peaks] on a string, by its number.
func (p Pass) PeaksOn(on int) []model.Pull {
	var pulls []model.Pull
	for i, pull := range p.Pulls {
		if p.on[i] == on {
			pulls = append(pulls, pull)
		}
	}
	return Peaks(pulls)
}

// Peaks are the pulls with a peak, by draw; of several at one draw the last. The pulls come in order of time.
func Peaks(pulls []model.Pull) []model.Pull {
	var peaks []model.Pull
	for _, pull := range slices.Backward(pulls) {
		same := func(other model.Pull) bool { return SameDraw(other.Draw, pull.Draw) }
		if pull.Peak.Known() && !slices.ContainsFunc(peaks, same) {
			peaks = append(peaks, pull)
		}
	}
	slices.SortFunc(peaks, func(a, b model.Pull) int { return cmp.Compare(a.Draw, b.Draw) })
	return peaks
}

// LongestPull is the longest pull of the pass that has a peak; ok is false where there is none.
func (p Pass) LongestPull() (pull model.Pull, ok bool) {
	if peaks := p.Peaks(); len(peaks) > 0 {
		return peaks[len(peaks)-1], true
	}
	return model.Pull{}, false
}

// LinesOf are the pass's lines in order, voided ones too.
func (s Story) LinesOf(p Pass) []Line {
	lines := make([]Line, len(p.lines))
	for i, at := range p.lines {
		lines[i] = s.Lines[at]
	}
	return lines
}

// Earlier is the last reading in the pose in a pass before pass number before.
func (s Story) Earlier(pose Pose, before int) (rows model.Readings, pass int, ok bool) {
	for n := min(before, len(s.Passes)) - 1; n >= 0; n-- {
		if rows, found := s.Passes[n].Reading(pose); found {
			return rows, n, true
		}
	}
	return model.Readings{}, 0, false
}

// Latest is the last reading in the pose in any pass, the current one included.
func (s Story) Latest(pose Pose) (rows model.Readings, pass int, ok bool) {
	return s.Earlier(pose, len(s.Passes))
}

// LongestDraw is the longest draw that the bow was ever pulled to; 0 where it never was.
func (s Story) LongestDraw() measure.Length {
	longest := measure.Length(0)
	for _, p := range s.Passes {
		for _, pull := range p.Pulls {
			longest = max(longest, pull.Draw)
		}
	}
	return longest
}

// LastPull is the pull that was entered last; ok is false where there is none.
func (s Story) LastPull() (pull model.Pull, ok bool) {
	return Last(s, func(model.Pull) bool { return true })
}

// Weight is the last pass's longest pull with a peak: what the bow weighs so far.
func (s Story) Weight() (pull model.Pull, pass int, ok bool) {
	for n, p := range slices.Backward(s.Passes) {
		if pull, ok := p.LongestPull(); ok {
			return pull, n, true
		}
	}
	return model.Pull{}, 0, false
}

// BraceHeight is the last brace height that was read.
func (s Story) BraceHeight() measure.Optional[measure.Length] {
	last, _ := Last(s, func(braced model.Braced) bool { return braced.Height.Known() })
	return last.Height
}
