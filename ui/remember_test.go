package ui

import (
	"fmt"
	"strings"
	"sync"

	"bendbook/model/aim"
	"bendbook/session"
	"bendbook/session/advice"
)

// What the readings of the demo's bows say is worked out once for all tests of the screens: it depends on nothing but the story, the settings
// and the shape, and a race detector takes a second over it.
func init() {
	type answer struct {
		advice advice.Advice
		err    error
	}
	var mutex sync.Mutex
	known := make(map[string]answer)
	advise = func(_ advice.Advice, story session.Story, settings advice.Settings, shape *aim.Aim) (advice.Advice, error) {
		var key strings.Builder
		fmt.Fprintf(&key, "%+v|%+v|%+v|%v", story.Bow(), settings, shape, story.InHand)
		for _, line := range story.Lines {
			fmt.Fprintf(&key, "|%s %v %s", line.Entry.ID, line.Counts(), line.Doc)
		}
		mutex.Lock()
		defer mutex.Unlock()
		found, ok := known[key.String()]
		if !ok {
			found.advice, found.err = advice.Of(story, settings, shape)
			known[key.String()] = found
		}
		return found.advice, found.err
	}
}
