package command

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// TestProgressIsShownToWhoeverWatchesAndGoesAway: on a terminal, not at once, not too often, on one line that is taken away.
func TestProgressIsShownToWhoeverWatchesAndGoesAway(t *testing.T) {
	var out bytes.Buffer
	now := time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)
	world := World{Err: &out, ErrTerminal: true, Now: func() time.Time { return now }}
	p := newProgress(&world, "bows", 200)
	p.at(1, 1)
	if out.Len() > 0 {
		t.Errorf("it begins at once: %q", out.String())
	}
	now = now.Add(time.Second)
	p.at(100, 50)
	p.at(101, 51)
	if got, want := out.String(), "\r[###############...............]  50 %  50 bows"; strings.TrimRight(got, " ") != want {
		t.Errorf("it shows %q, want %q", got, want)
	}
	out.Reset()
	p.clear()
	p.clear()
	if got := out.String(); strings.Trim(got, "\r ") != "" || strings.Count(got, "\r") != 2 {
		t.Errorf("it leaves %q", got)
	}
	for _, done := range []int64{-5, 0, 200, 900} {
		now = now.Add(time.Second)
		out.Reset()
		if p.at(done, 1); len(out.String()) > 61 || strings.Count(out.String(), "#")+strings.Count(out.String(), ".") != progressBar {
			t.Errorf("at %d it shows %q", done, out.String())
		}
	}
	out.Reset()
	p = newProgress(&world, "bows", 0)
	now = now.Add(time.Second)
	if p.at(7, 7); strings.TrimRight(out.String(), " ") != "\r7 bows" {
		t.Errorf("of an unknown size it shows %q", out.String())
	}
	out.Reset()
	world.ErrTerminal = false
	p = newProgress(&world, "bows", 10)
	now = now.Add(time.Hour)
	if p.at(5, 5); out.Len() > 0 {
		t.Errorf("into a file it writes %q", out.String())
	}
}
