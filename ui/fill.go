package ui

import (
	"fmt"

	"bendbook/session/sheet"
)

// paste puts a paste of several values into the fields, one into each; taken is false for one that is typed into this field as it is.
func (f *form) paste(text string) (next move, taken bool) {
	q, ok := f.sheet.Current()
	if !ok || q.Unit == "" {
		return move{}, false
	}
	values := sheet.Values(text)
	if len(values) < 2 {
		return move{}, false
	}
	if typed := f.input.Value(); typed != "" && f.verdict.State == sheet.Taken {
		return move{say: notice{warning, fmt.Sprintf("%d values were pasted behind %s: nothing was filled in. Empty the field, and paste again.", len(values), typed)}}, true
	}
	at := f.sheet.At()
	verdict, kept, err := f.filling.Fill(values)
	if kept == nil && f.sheet.At() == at && err != nil {
		return move{say: notice{warning, err.Error() + "."}}, true
	}
	next = f.take(verdict, kept, err, true)
	if next.say.text == "" {
		done := f.sheet.At() - at
		next.say = notice{saying, fmt.Sprintf("Filled in %d of %d values.", done, len(values))}
		if done < len(values) {
			next.say = notice{warning, fmt.Sprintf("Filled in %d of %d values; Enter confirms those to come, one by one.", done, len(values))}
		}
	}
	return next, true
}
