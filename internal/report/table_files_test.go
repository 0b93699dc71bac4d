package report

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"tuckring/internal/words"
)

// RFC 4180: records of equal length ended by CR LF; a field with comma, quote or line break stands
// between quotes, and a quote in it is doubled.
func TestCSVFollowsRFC4180(t *testing.T) {
	f := load(t, "contract-example")
	f.Colours[0].Name = "Brick, \"red\"\nmatt"
	r := reportOf(t, f, DefaultSettings())
	table := r.ColourTable()
	var b bytes.Buffer
	require.NoError(t, table.CSV(&b, words.English))
	assert.Contains(t, b.String(), "\"Brick, \"\"red\"\"\r\nmatt\",59,3,62,A4,32,2,10.0\r\n")
	assert.True(t, strings.HasPrefix(b.String(), "Colour,Units,Spare,"))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 4)
}

// Common practice against formulas in foreign names: a spreadsheet must not run what somebody called a
// colour.
func TestNamesAreNoFormulas(t *testing.T) {
	f := load(t, "contract-example")
	f.Colours[0].Name = `=HYPERLINK("http://x")`
	r := reportOf(t, f, DefaultSettings())
	tables := r.Tables()
	var b bytes.Buffer
	require.NoError(t, tables[0].CSV(&b, words.English))
	assert.Contains(t, b.String(), `"'=HYPERLINK(""http://x"")"`)
	book := workbook(t, tables)
	formula, err := book.GetCellFormula(book.GetSheetName(0), "A2")
	require.NoError(t, err)
	assert.Empty(t, formula)
	value, err := book.GetCellValue(book.GetSheetName(0), "A2")
	require.NoError(t, err)
	assert.Equal(t, f.Colours[0].Name, value)
}

func workbook(t testing.TB, tables []Table) *excelize.File {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, XLSX(&b, words.English, tables))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	t.Cleanup(func() { book.Close() })
	return book
}

// Counted by hand: 59 + 17 + 5 = 81 units, 3 + 1 + 1 spares, 2 + 1 + 1 sheets; four A4 of 4.9896 g.
func TestWorkbookHasTotalsAsFormulas(t *testing.T) {
	r := reportOf(t, load(t, "contract-example"), DefaultSettings())
	book := workbook(t, r.Tables())
	names := book.GetSheetList()
	require.Len(t, names, len(r.Tables()))
	assert.Equal(t, "Colours", names[0])
	for cell, want := range map[string]string{"B5": "81", "C5": "5", "D5": "86", "G5": "4", "H5": "20.0"} {
		formula, err := book.GetCellFormula(names[0], cell)
		require.NoError(t, err)
		assert.Equal(t, "SUM("+cell[:1]+"2:"+cell[:1]+"4)", formula)
		reckoned, err := book.CalcCellValue(names[0], cell)
		require.NoError(t, err)
		assert.Equal(t, want, reckoned, cell)
		shown, err := book.GetCellValue(names[0], cell)
		require.NoError(t, err)
		assert.Equal(t, want, shown, cell)
	}
	label, err := book.GetCellValue(names[0], "A5")
	require.NoError(t, err)
	assert.Equal(t, "Total", label)
}

func TestEveryTableHasHeadsInTheCatalogue(t *testing.T) {
	r := reportOf(t, load(t, "contract-example"), DefaultSettings())
	for _, table := range r.Tables() {
		assert.NotEqual(t, words.English.T("words.missing"), table.Name().String(), table.Key)
		for _, c := range table.Columns {
			assert.NotEqual(t, words.English.T("words.missing"), c.Head.String(), c.Head.Key)
		}
		for _, row := range table.Rows {
			assert.Len(t, row, len(table.Columns), table.Key)
		}
	}
}

// A file that is made again of the same figure is the same file: it can be compared, and answered from what is kept.
func TestWorkbookIsTheSameEachTime(t *testing.T) {
	tables := reportOf(t, load(t, "contract-example"), DefaultSettings()).Tables()
	require.Greater(t, len(tables), 3)
	var first bytes.Buffer
	require.NoError(t, XLSX(&first, words.English, tables))
	for range 20 {
		tables := reportOf(t, load(t, "contract-example"), DefaultSettings()).Tables()
		var again bytes.Buffer
		require.NoError(t, XLSX(&again, words.English, tables))
		require.True(t, bytes.Equal(first.Bytes(), again.Bytes()))
	}
	parts, err := zip.NewReader(bytes.NewReader(first.Bytes()), int64(first.Len()))
	require.NoError(t, err)
	assert.Equal(t, "[Content_Types].xml", parts.File[0].Name)
}
