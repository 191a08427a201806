package record

import (
	"encoding/json"
	"errors"
	"fmt"

	"bendbook/model"
)

// errNewer is wrapped when a record's version is higher than ourVersion.
var errNewer = errors.New("the record was written by a newer Bendbook")

// within puts the path of the enclosing field before the field of err.
func within(path string, err error) error {
	var field *model.FieldError
	if errors.As(err, &field) {
		return field.Within(path)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

// unmarshal decodes doc and turns a mismatch of types into a model.FieldError.
func unmarshal(doc []byte, into any) error {
	if err := json.Unmarshal(doc, into); err != nil {
		return model.JSONFault(err, "a bow record")
	}
	return nil
}
