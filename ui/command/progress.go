package command

import (
	"fmt"
	"io"
	"io/fs"
	"strings"
	"time"
)

// progress is a bar on standard error that shows how far a long job is. Where that is no terminal, and in the first
// half second, it shows nothing.
type progress struct {
	to    io.Writer // nil shows nothing
	now   func() time.Time
	what  string // of what there is so much: bows
	total int64  // of the measure by which it is told how far it is; 0 where that is not known

	begun, drawn time.Time
	shown        bool
}

const (
	progressAfter = 500 * time.Millisecond // nobody watches a shorter job
	progressEvery = 100 * time.Millisecond
	progressBar   = 30 // cells
)

func newProgress(world *World, what string, total int64) *progress {
	p := &progress{now: world.Now, what: what, total: total}
	if world.ErrTerminal {
		p.to, p.begun = world.Err, world.Now()
	}
	return p
}

// at shows that so much of the total is done, and how many things that makes.
func (p *progress) at(done int64, things int) {
	if p.to == nil {
		return
	}
	now := p.now()
	if now.Sub(p.begun) < progressAfter || now.Sub(p.drawn) < progressEvery {
		return
	}
	p.drawn, p.shown = now, true
	line := fmt.Sprintf("%d %s", things, p.what)
	if p.total > 0 {
		share := min(max(float64(done)/float64(p.total), 0), 1)
		full := int(share * progressBar)
		line = fmt.Sprintf("[%s%s] %3.0f %%  %s", strings.Repeat("#", full), strings.Repeat(".", progressBar-full), 100*share, line)
	}
	// Where standard error is gone there is nobody to show it to.
	_, _ = fmt.Fprintf(p.to, "\r%-60s", line)
}

// clear takes the bar away, so that a message can stand in its place.
func (p *progress) clear() {
	if p.shown {
		_, _ = fmt.Fprintf(p.to, "\r%60s\r", "")
		p.shown = false
	}
}

// counter counts what is read through it.
type counter struct {
	io.Reader
	n int64
}

// Read implements io.Reader.
func (c *counter) Read(p []byte) (int, error) {
	n, err := c.Reader.Read(p)
	c.n += int64(n)
	return n, err
}

// sizeOf is the size of an open file; 0 where it is not known.
func sizeOf(in any) int64 {
	file, isFile := in.(interface{ Stat() (fs.FileInfo, error) })
	if !isFile {
		return 0
	}
	info, err := file.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return 0
	}
	return info.Size()
}
