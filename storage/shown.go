package storage

import (
	"strconv"
	"strings"
	"unicode"
)

// shown is a path, a name or a key as it may stand in a message: anything that a terminal could take for a command,
// or that would turn the line's direction, is spelled out.
func shown(text string) string {
	if strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsGraphic(r) || r == unicode.ReplacementChar }) {
		return strconv.QuoteToGraphic(text)
	}
	return text
}
