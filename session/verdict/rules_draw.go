package verdict

import (
	"fmt"
	"slices"

	"bendbook/model/finish"
	"bendbook/model/plan"
	"bendbook/session"
)

const (
	mostAgain = 3    // pulls to one draw in a pass that settle what one more wouldn't
	mostOver  = 0.15 // chance of too much weight with which a bow is finished
)

// drawFarther goes on where nothing shows: two inches at most, one near the order.
func (m *moment) drawFarther() (Verdict, bool) {
	if !m.mayDraw() {
		return Verdict{}, false
	}
	next, _ := m.Next.Get()
	even := "No stiff or weak place shows."
	if len(m.Unsure) > 0 {
		even = tooEarly
	}
	why, expect := m.sayEven(even), "Read the scale and both limbs there."
	if m.longest == 0 {
		why = "You haven't drawn it yet."
	}
	if next.Force.Estimate > 0 {
		expect = fmt.Sprintf("Expect %s there%s.", m.Expected(next), m.letDown(next))
	}
	return m.pull(Draw, next.Draw, fmt.Sprintf("Draw to %s.", m.length(next.Draw)), why+" "+expect)
}

// drawAgain settles the weight by the longest draw allowed where nothing else is left to do.
func (m *moment) drawAgain() (Verdict, bool) {
	to := m.farthest()
	if to <= 0 || m.pulls(to) > mostAgain {
		return Verdict{}, false
	}
	return m.pull(DrawAgain, to, fmt.Sprintf("Draw to %s again.", m.length(to)),
		"One peak isn't enough to call the weight. "+m.SayForecast(Verdict{}))
}

// farthest is the longest draw so far, or the stop line where that allows no more (in).
func (m *moment) farthest() float64 {
	if next, ok := m.Next.Get(); ok && next.Draw > 0 {
		return min(m.longest, next.Draw)
	}
	return m.longest
}

// done sends a bow on to finishing that was at its draw twice, in weight and even.
func (m *moment) done() (Verdict, bool) {
	pulls := m.pullsAtOrder()
	if m.plan == nil || pulls < 2 {
		return Verdict{}, false
	}
	right := m.plan.Verdict == plan.Done || m.plan.Verdict == plan.Left
	// A weight at an edge of what is wanted stays unsure however often it's read.
	edge := pulls > 2 && m.plan.Now.Weight.Estimate >= m.wanted.Least() && m.plan.Now.ChanceOver <= mostOver
	if !right && !edge {
		return Verdict{}, false
	}
	v := Verdict{Do: Finish, Most: m.wanted.Draw}
	v.Word, v.Say = m.shootIn()
	v.Why = fmt.Sprintf("At %s it pulls %s. %s", m.short(m.wanted.Draw), m.figure(m.plan.Now.Weight),
		m.sayEven("It bends evenly."))
	if tips := m.Aim.StiffTips; tips > 0 {
		v.Why += fmt.Sprintf(" Its last %s aren't judged until the nocks are on.", m.short(tips))
	}
	return v, true
}

// pullsAtOrder is how many pulls of this pass went to the ordered draw, or as near as the bow may be drawn.
func (m *moment) pullsAtOrder() int {
	pulls := m.pulls(m.wanted.Draw)
	if m.longest >= m.wanted.Draw-lineSlack-alike {
		pulls = max(pulls, m.pulls(m.longest)) // by the rule it's there
	}
	if to := m.farthest(); to >= m.wanted.Draw-lastStep && m.pulls(to) > mostAgain {
		pulls = mostAgain // so near the order the stop line may allow no more
	}
	return pulls
}

// shootIn asks for shooting in, and names the stage after it; once it is done, that stage alone.
func (m *moment) shootIn() (word, say string) {
	p := m.f.Progress
	shoot := slices.IndexFunc(p.Stages, func(s finish.Standing) bool { return s.Seen == finish.SignShot })
	shot := shoot >= 0 && p.Stages[shoot].State == finish.Made
	switch stage := p.Waits(); {
	case shot && stage != "":
		return stageWord(stage), session.Capital(stageSays(stage))
	case p.At >= 0 && p.Stages[p.At].Seen == finish.SignShot:
		return "SHOOT IN", "Shoot it in. Then read it again."
	case p.At < shoot && p.Leaves(p.At):
		return stageWord(stage), session.Capital(stageSays(stage)) + " Then shoot it in."
	case stage != "":
		return "SHOOT IN", "Shoot it in. Next: " + stageSays(stage)
	}
	return "SHOOT IN", "Shoot it in. Then go on to finishing."
}
