package command

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"

	"github.com/spf13/cobra"

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

// cause is a file's error without the file's name, which stands in the line already, and the system call.
func cause(err error) error {
	if path, isPath := err.(*fs.PathError); isPath {
		return path.Err
	}
	return err
}

// outFlags say where a command writes to.
type outFlags struct {
	file  fileName
	force bool
}

func (f *outFlags) add(cmd *cobra.Command) {
	cmd.Flags().VarP(&f.file, "output", "o", "write to this `file`, or into this folder")
	cmd.Flags().BoolVar(&f.force, "force", false, "replace the file if there is one")
}

// write gives write the place to write to. named is the file's name where -o names a folder.
func (f *outFlags) write(world *World, o *options, named string, write func(io.Writer) error) error {
	name := string(f.file)
	if name == "" || name == "-" {
		return write(world.Out)
	}
	if world.Folder != nil && world.Folder(name) {
		name = filepath.Join(name, named)
	}
	var failed error
	err := world.WriteFile(name, Over{Force: f.force, Book: string(o.book)}, func(file io.Writer) error {
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

// writeJSON writes one document that reads well.
func writeJSON(w io.Writer, document any) error {
	enc := json.NewEncoder(plain.JSONWriter{To: w})
	enc.SetIndent("", "  ")
	return enc.Encode(document)
}
