package verdict

import (
	"bendbook/model/aim"
	"bendbook/model/finish"
	"bendbook/session"
)

// Usual are the settings by common practice: a pound for first use and one for finishing.
func Usual() Settings {
	pound := finish.Allowance{Mean: 1}
	return Settings{Takes: finish.Allowances{Settling: pound, Sanding: pound}}
}

// Practice is what a bow's readings are judged by in a shop.
type Practice struct {
	Settings Settings
	Shape    *aim.Aim // of the bow that this one is to bend like; nil for its own aim
	Before   Advice   // what was said of the bow before, from which Of goes on; zero begins anew
}

// Of is [Of] by this practice.
func (p Practice) Of(story session.Story) (Advice, error) {
	return p.Before.Again(story, p.Settings, p.Shape)
}
