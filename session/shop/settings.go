package shop

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"

	"bendbook/model/finish"
	"bendbook/session"
)

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
	to, err := finish.Parse(doc)
	if err != nil {
		return err
	}
	was, _ := s.Settings()
	if err := s.book.KeepSettings(doc); err != nil {
		return err
	}
	// The bows follow the setting; undo is of the setting.
	sitting := s.sitting
	err = s.rerig(was.Tree, to.Tree)
	s.sitting = sitting
	return err
}

// KeepSettings keeps other settings, checked like those of SetSettings, as something done in this sitting.
func (s *Shop) KeepSettings(settings finish.Settings) error {
	before, err := s.Settings()
	if err != nil {
		return err
	}
	if err := s.KeepView(settings); err != nil {
		return err
	}
	s.sitting.did(deed{says: saySetting(before, settings),
		undo: func() error { return s.KeepView(before) }, redo: func() error { return s.KeepView(settings) }})
	return nil
}

// KeepView keeps other settings where only what is looked at changes: undo passes over it.
func (s *Shop) KeepView(settings finish.Settings) error {
	doc, err := settings.Document()
	if err != nil {
		return err
	}
	return s.SetSettings(doc)
}

// saySetting names the setting that was changed.
func saySetting(before, after finish.Settings) string {
	was, now := before.Table(), after.Table()
	for i, setting := range now {
		if setting.Stage >= 0 || len(was) != len(now) {
			break
		}
		if old := was[i].Value(before); old != setting.Value(after) {
			return fmt.Sprintf("setting %s, %s before", setting.Label, cmp.Or(old, "nothing"))
		}
	}
	return "setting of the stages"
}

// rerig describes the bows in hand that were read on the shop's tree by what is now known of it.
func (s *Shop) rerig(was, now finish.Tree) error {
	if was.Rig().Same(now.Rig()) && was.Rocking() == now.Rocking() {
		return nil
	}
	rows, _ := s.rows()
	for _, row := range rows {
		if row.Damage != nil || !row.InHand || row.HandedOver {
			continue
		}
		bench, err := s.Bench(row.Bow.ID)
		if err != nil {
			return err
		}
		bow := bench.Story().Bow()
		if !bow.Rig.Same(was.Rig()) {
			continue
		}
		if bow.Rig = now.Rig(); was.Rocking() != now.Rocking() {
			bow.Cradle = now.Rocking()
		}
		if err := bench.Redescribe(bow, ""); err != nil {
			return fmt.Errorf("describing %s by the new settings: %w", session.NameOf(bow), err)
		}
	}
	return nil
}
