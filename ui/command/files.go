package command

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"

	"github.com/spf13/cobra"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"bendbook/model/plain"
)

// results is where a command writes its results to. It remembers the first thing that went wrong.
type results struct {
	to   io.Writer
	name string // of the file
	err  error
}

func (r *results) Write(p []byte) (int, error) {
	if r.err != nil {
		return 0, r.err
	}
	n, err := r.to.Write(p)
	if err != nil {
		r.err = fmt.Errorf("%s: %w", r.name, cause(err))
	}
	return n, r.err
}

// cause strips the file's name and the system call from a file error; the line names the file already.
func cause(err error) error {
	if path, isPath := err.(*fs.PathError); isPath {
		return path.Err
	}
	return err
}

type outFlags struct {
	file  fileName
	force bool
}

func (f *outFlags) add(cmd *cobra.Command) {
	cmd.Flags().VarP(&f.file, "output", "o", "write to this `file`, or into this folder")
	cmd.Flags().BoolVar(&f.force, "force", false, "replace the file if there is one")
}

// write hands write the place to write to. named is the file's name if -o names a folder.
func (f *outFlags) write(world *World, named string, write func(io.Writer) error) error {
	name := string(f.file)
	if name == "" || name == "-" {
		return write(world.Out)
	}
	if world.Folder != nil && world.Folder(name) {
		name = filepath.Join(name, named)
	}
	var failed error
	err := world.WriteFile(name, Over{Force: f.force, Book: string(world.book)}, func(file io.Writer) error {
		failed = write(&results{to: file, name: name})
		return failed
	})
	switch {
	case failed != nil:
		return failed
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s: already exists (--force replaces it)", name)
	case err != nil:
		return fmt.Errorf("%s: %w", name, cause(err))
	}
	return nil
}

func writeJSON(w io.Writer, document any) error {
	enc := json.NewEncoder(plain.JSONWriter{To: w})
	enc.SetIndent("", "  ")
	return enc.Encode(document)
}

// openInput opens a file, or standard input for -, and says what to call it.
func openInput(world *World, name string) (in io.ReadCloser, said string, err error) {
	if name == "-" {
		return io.NopCloser(world.In), "standard input", nil
	}
	if in, err = world.ReadFile(name); err != nil {
		const give = "give a file that can be read, or - for standard input"
		return nil, name, fmt.Errorf("%s: %w: %s", name, cause(err), give)
	}
	return in, name, nil
}

// withInput reads the text of a file, or of standard input for -, and tells what is wrong with its name. It
// breaks off when the context is done.
func withInput(world *World, name string, read func(in io.Reader) error) error {
	in, said, err := openInput(world, name)
	if err != nil {
		return err
	}
	// Nothing was written through it, so closing it cannot lose anything.
	defer func() { _ = in.Close() }()
	if err := read(world.text(in)); err != nil {
		return fmt.Errorf("%s: %w", said, err)
	}
	return nil
}

// text is an input in UTF-8; one that begins with a mark of its encoding is read in that.
func (world *World) text(in io.Reader) io.Reader {
	return transform.NewReader(watchedReader{in, world.ctx}, unicode.BOMOverride(transform.Nop))
}

// errInterrupted ends a command that was broken off.
var errInterrupted = errors.New("interrupted")

// watchedReader stops waiting for input when its context is done.
type watchedReader struct {
	from io.Reader
	ctx  context.Context
}

func (r watchedReader) Read(p []byte) (int, error) {
	if r.ctx.Err() != nil {
		return 0, errInterrupted
	}
	type answer struct {
		data []byte
		err  error
	}
	come := make(chan answer, 1)
	go func() {
		// Its own memory, for it may be written to after this call has returned.
		data := make([]byte, len(p))
		n, err := r.from.Read(data)
		come <- answer{data[:n], err}
	}()
	select {
	case a := <-come:
		return copy(p, a.data), a.err
	case <-r.ctx.Done():
		return 0, errInterrupted
	}
}
