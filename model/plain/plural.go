package plain

import "fmt"

// Plural formats args by the text for one thing or for many, as n is one or not.
func Plural(n int, one, many string, args ...any) string {
	if n == 1 {
		return fmt.Sprintf(one, args...)
	}
	return fmt.Sprintf(many, args...)
}
