package ui

import (
	"fmt"
	"strings"
	"sync"

	"bendbook/model/aim"
	"bendbook/session"
	"bendbook/session/verdict"
)

// answers are what the readings of the demo's bows say, worked out once for all tests: it depends on nothing but the
// story, the settings and the shape.
var answers sync.Map

// remembered works out what the readings of a story say, unless that is known from another test.
func remembered(_ verdict.Advice, story session.Story, settings verdict.Settings, shape *aim.Aim) (verdict.Advice, error) {
	var key strings.Builder
	fmt.Fprintf(&key, "%+v|%+v|%+v|%v", story.Bow(), settings, shape, story.InHand)
	for _, line := range story.Lines {
		fmt.Fprintf(&key, "|%s %v %s", line.Entry.ID, line.Counts(), line.Doc)
	}
	work, _ := answers.LoadOrStore(key.String(), sync.OnceValues(func() (verdict.Advice, error) {
		return verdict.Of(story, settings, shape)
	}))
	return work.(func() (verdict.Advice, error))()
}
