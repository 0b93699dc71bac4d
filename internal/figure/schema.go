package figure

import _ "embed"

// Schema is the figure document as a JSON Schema (draft 2020-12): what a document may look like. Read checks more: what depends on
// other places of the document. Whatever Read accepts, the schema accepts too.
//
//go:embed figure.schema.json
var Schema []byte
