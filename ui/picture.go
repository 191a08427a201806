package ui

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"bendbook/model/plain"
	"bendbook/session/form"
)

// picture fills in the form from a picture: the newest, or the one whose name stands in the field.
func (f *formScreen) picture() move {
	name, folder := strings.TrimSpace(f.input.Value()), f.desk.practice.Photo.Folder
	if !slices.Contains([]string{".jpg", ".jpeg", ".png"}, strings.ToLower(filepath.Ext(name))) {
		name = ""
	}
	if name == "" && folder == "" || f.desk.Picture == nil {
		return warned("Type the folder of your pictures in the settings, or a picture's name here.")
	}
	data, path, err := f.desk.Picture(folder, name)
	if err != nil {
		return failed(fmt.Errorf("no picture: %w", err))
	}
	p, r, err := form.ReadPhoto(f.fields.Bow(), f.desk.practice, data)
	if p != nil {
		var b bytes.Buffer
		beside := strings.TrimSuffix(path, filepath.Ext(path)) + ".read.png"
		if shown := r.Show(&b, p); shown == nil {
			_ = f.desk.Replace(beside, b.Bytes()) // for eyes only: the folder may be one to read only
		}
	}
	named := plain.Line(filepath.Base(path))
	if err != nil {
		return warned("%s: %v.", named, err)
	}
	if name != "" {
		f.input.SetValue("")
	}
	f.filling.Step(0, f.input.Value())
	says, err := f.filling.Photograph(r)
	f.moved()
	if err != nil {
		return failed(err)
	}
	return said("%s: %s", named, says)
}
