package sheet

import (
	"fmt"
	"strings"

	"bendbook/model/say"
)

// choose finds the choice that text means: its place from 1, itself, or its unambiguous start.
func choose(choices []string, text string) (choice string, ok bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	var starts []string
	for i, c := range choices {
		if text == fmt.Sprint(i+1) || text == strings.ToLower(c) {
			return c, true
		}
		if strings.HasPrefix(strings.ToLower(c), text) {
			starts = append(starts, c)
		}
	}
	if len(starts) == 1 {
		return starts[0], true
	}
	return "", false
}

// expected says what could have been chosen: of what text begins where it begins several, else of all.
func expected(choices []string, text string) string {
	var could []string
	for i, c := range choices {
		if strings.HasPrefix(strings.ToLower(c), strings.ToLower(strings.TrimSpace(text))) {
			could = append(could, fmt.Sprintf("%d %s", i+1, c))
		}
	}
	if len(could) > 1 {
		return say.F("it could be %s", strings.Join(could, ", "))
	}
	return say.F("expected %s", list(choices))
}

func list(choices []string) string {
	numbered := make([]string, len(choices))
	for i, c := range choices {
		numbered[i] = fmt.Sprintf("%d %s", i+1, c)
	}
	return strings.Join(numbered, ", ")
}
