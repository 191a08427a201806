package model

import "fmt"

// FieldError says which field of a bow or an entry is wrong, and what was expected there.
type FieldError struct {
	Field string // path as a record spells it: limbs.upper.length, peak, upper[3]
	Want  string // what is wrong, and what was expected
}

func (e *FieldError) Error() string {
	if e.Field == "" {
		return e.Want
	}
	return e.Field + ": " + e.Want
}

// Within is the same error seen from the field that encloses it.
func (e *FieldError) Within(path string) *FieldError {
	switch {
	case e.Field == "":
		return &FieldError{path, e.Want}
	case path == "" || e.Field[0] == '[':
		return &FieldError{path + e.Field, e.Want}
	}
	return &FieldError{path + "." + e.Field, e.Want}
}

// Fault is the error of a field, with what was expected there.
func Fault(field string, format string, args ...any) error {
	return &FieldError{Field: field, Want: fmt.Sprintf(format, args...)}
}
