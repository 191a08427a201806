package verdict

import (
	"bendbook/model/aim"
	"bendbook/model/finish"
	"bendbook/session"
)

// Usual are the settings by common practice.
func Usual() Settings {
	usual := finish.Usual().Allowances
	return Settings{Takes: finish.Allowances{
		Settling: finish.Allowance{Mean: usual.Settling.Share()}, Sanding: finish.Allowance{Mean: usual.Sanding.Share()},
	}}
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
