package record

import _ "embed" // the schema

//go:embed schema.json
var schema string

// Schema returns the JSON Schema (2020-12) of a record. It allows fields that this version doesn't know.
func Schema() string { return schema }
