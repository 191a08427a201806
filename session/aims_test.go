package session

import (
	"testing"

	"bendbook/model/aim"
)

// TestEveryAimHasWords fails for an aim that SayAim forgets: its name in a record would be all that is said.
func TestEveryAimHasWords(t *testing.T) {
	for _, name := range aim.Names() {
		if called, how := SayAim(name); called == "" || how == name {
			t.Errorf("the aim %s is called %q, and the limbs are to bend %q", name, called, how)
		}
	}
}
