package shop

import (
	"bytes"
	"encoding/json"
	"fmt"

	"bendbook/model/date"
	"bendbook/model/finish"
)

// Settings are the shop's practice as kept last; common practice where none was, or with the error.
func (s *Shop) Settings() (finish.Settings, error) {
	doc, kept, err := s.book.Settings()
	if err != nil {
		return finish.Usual(), fmt.Errorf("reading the shop's settings: %w", err)
	}
	if !kept {
		return finish.Usual(), nil
	}
	settings, err := finish.Parse(doc)
	if err != nil {
		return finish.Usual(), fmt.Errorf("the shop's settings in the book: %w", err)
	}
	return settings, nil
}

// Dates is DatesOf by the settings in the book; where they can't be read, the terminal's language decides.
func (s *Shop) Dates() date.Order {
	settings, _ := s.Settings()
	return s.DatesOf(settings)
}

// DatesOf is the order in which days are told, by the shop's settings or else by the terminal's language.
func (s *Shop) DatesOf(settings finish.Settings) date.Order {
	if settings.Dates != finish.DatesAsTerminal {
		return settings.Dates
	}
	return s.options.Dates
}

// SettingsDocument are the settings as text that can be read, changed and set again.
func (s *Shop) SettingsDocument() ([]byte, error) {
	doc, kept, err := s.book.Settings()
	if err == nil && !kept {
		return finish.Usual().Document()
	}
	var text bytes.Buffer
	if err == nil {
		err = json.Indent(&text, doc, "", "  ")
	}
	if err != nil {
		return nil, fmt.Errorf("reading the shop's settings: %w", err)
	}
	text.WriteByte('\n')
	return text.Bytes(), nil
}

// SetSettings keeps other settings. They are checked first; the error is then a *model.FieldError.
func (s *Shop) SetSettings(doc []byte) error {
	if _, err := finish.Parse(doc); err != nil {
		return err
	}
	return s.book.KeepSettings(doc)
}

// KeepSettings keeps other settings, checked like those of SetSettings.
func (s *Shop) KeepSettings(settings finish.Settings) error {
	doc, err := settings.Document()
	if err != nil {
		return err
	}
	return s.SetSettings(doc)
}
