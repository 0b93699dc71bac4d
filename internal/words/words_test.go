package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSayChoosesThePluralForm(t *testing.T) {
	assert.Equal(t, "1 unit", English.T("figure.units", "Count", 1))
	assert.Equal(t, "12 units", English.T("figure.units", "Count", 12))
	assert.Equal(t, "0.5 units", English.T("figure.units", "Count", 0.5))
}

func TestCatalogueGivesTheForms(t *testing.T) {
	assert.Equal(t, map[string]string{"one": "{{.Count}} unit", "other": "{{.Count}} units"},
		Catalogue("figure.")["figure.units"])
}
