package picture

import (
	"bendbook/session"
	"bendbook/session/advice"
)

// All are the pictures that a story and its advice have something for, in the order in which they are looked at.
func All(story session.Story, a advice.Advice) []Picture {
	var all []Picture
	for _, draw := range []func() (Picture, bool){
		func() (Picture, bool) { return Limbs(story) },
		func() (Picture, bool) { return Changes(story) },
		func() (Picture, bool) { return Bend(a) },
		func() (Picture, bool) { return Force(story, a) },
		func() (Picture, bool) { return Weights(story) },
	} {
		if p, ok := draw(); ok {
			all = append(all, p)
		}
	}
	return all
}
