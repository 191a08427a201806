package session

import (
	"encoding/json"
	"strings"
	"time"

	"bendbook/model/measure"
	"bendbook/model/say"
)

// Draft is a half-typed form as it is kept until it is finished or dropped.
type Draft struct {
	Form    string            `json:"form"`           // which form
	Begun   time.Time         `json:"begun"`          // when its first value was confirmed
	Units   measure.Units     `json:"units,omitzero"` // of bare numbers; none where the draft is of a program that knew only the record's
	At      string            `json:"at"`             // name of the question that was being answered
	Answers map[string]string `json:"answers"`        // by name of the question, as typed
	// Asked are answers that were asked about, by name of the question; the same again keeps them.
	Asked map[string]string `json:"asked,omitempty"`
}

// DraftKey is the key under which a bow's form is kept; bow "" stands for a bow that is yet to be described.
func DraftKey(bow, form string) string { return bow + "/" + form }

// halfTyped are the forms that are half typed, by the bow's id; one of each bow.
func (s *Shop) halfTyped() (map[string]string, error) {
	keys, err := s.book.Drafts()
	if err != nil {
		return nil, say.Errorf("looking for half-typed forms: %w", err)
	}
	forms := make(map[string]string)
	for _, key := range keys {
		// A bow's id may hold a slash, a form's name does not.
		if at := strings.LastIndexByte(key, '/'); at >= 0 {
			name, _, _ := strings.Cut(key[at+1:], " ")
			forms[key[:at]] = name
		}
	}
	return forms, nil
}

// HalfTyped says whether any form of a bow is half typed; "" is a bow that is yet to be.
func (s *Shop) HalfTyped(bow string) (bool, error) {
	forms, err := s.halfTyped()
	return forms[bow] != "", err
}

// Draft is the half-typed form kept under key; ok is false where there is none. A draft that cannot be read is
// taken for none: it was made by another version.
func (s *Shop) Draft(key string) (draft Draft, ok bool, err error) {
	doc, ok, err := s.book.Draft(key)
	if err != nil || !ok {
		return Draft{}, false, err
	}
	if json.Unmarshal(doc, &draft) != nil {
		return Draft{}, false, nil
	}
	return draft, true, nil
}

// SaveDraft keeps a half-typed form under key: on disk when it returns.
func (s *Shop) SaveDraft(key string, draft Draft) error {
	doc, err := json.Marshal(draft)
	if err != nil {
		return say.Errorf("writing the draft: %w", err)
	}
	if err := s.book.SaveDraft(key, doc); err != nil {
		return say.Errorf("keeping the draft: %w", err)
	}
	return nil
}

// DropDraft forgets the half-typed form under key.
func (s *Shop) DropDraft(key string) error { return s.book.DropDraft(key) }
