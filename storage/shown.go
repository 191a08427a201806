package storage

import (
	"strconv"
	"strings"
	"unicode"
)

// shown is a line as a terminal may have it: names come from files, and what a terminal could take for a command, or
// what would turn the line's direction, is spelled out.
func shown(line string) string {
	var b strings.Builder
	for _, r := range line {
		if unicode.IsGraphic(r) {
			b.WriteRune(r)
			continue
		}
		quoted := strconv.QuoteRuneToASCII(r)
		b.WriteString(quoted[1 : len(quoted)-1])
	}
	return b.String()
}
