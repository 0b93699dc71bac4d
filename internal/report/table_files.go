package report

import (
	"archive/zip"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
	"tuckring/internal/words"
)

// Table is one table of the report as it is printed: the numbers are already rounded so that columns
// with a total add up to it.
type Table struct {
	Key     string // "colours": the name of the file, and of the catalogue's report.table.KEY
	Columns []Column
	Rows    [][]any // string, words.Text, int or float64, one for each column
}

// Column is a column of a table.
type Column struct {
	Head     words.Text
	Decimals int  // of a float64 column; asIs for as many as the number has
	Total    bool // the column has a total
}

// asIs says that a number is shown to its last place, at most six decimals.
const asIs = -1

// Name is what the table is called.
func (t *Table) Name() words.Text { return words.T("report.table." + t.Key) }

// Totals are the sums of the columns that have one, in a row of its own; nil where there is none.
func (t *Table) Totals() []any {
	out := make([]any, len(t.Columns))
	for c, col := range t.Columns {
		if col.Total {
			out[c] = t.sum(c)
		}
	}
	return out
}

func (t *Table) sum(c int) any {
	whole, real, isReal := 0, 0.0, false
	for _, row := range t.Rows {
		switch v := row[c].(type) {
		case int:
			whole += v
		case float64:
			real, isReal = real+v, true
		}
	}
	if isReal {
		return real
	}
	return whole
}

func (t *Table) hasTotals() bool {
	for _, c := range t.Columns {
		if c.Total {
			return true
		}
	}
	return false
}

// Cell writes a value of column c for people: floats with the column's decimals, nothing for nil.
func (t *Table) Cell(s *words.Speaker, c int, v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case words.Text:
		return s.Say(v)
	case float64:
		if t.Columns[c].Decimals == asIs {
			return number(rounded(v, 6))
		}
		return strconv.FormatFloat(v, 'f', t.Columns[c].Decimals, 64)
	}
	return fmt.Sprint(v)
}

// CSV writes the table as RFC 4180 asks: a header, records of equal length ended by CR LF, fields
// quoted where they must be. Totals are left to the reader's program. A text that a spreadsheet
// would take for a formula gets an apostrophe in front. The error is the writer's.
func (t *Table) CSV(w io.Writer, s *words.Speaker) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	record := make([]string, len(t.Columns))
	for c, col := range t.Columns {
		record[c] = s.Say(col.Head)
	}
	if err := out.Write(record); err != nil {
		return err
	}
	for _, row := range t.Rows {
		for c, v := range row {
			record[c] = t.Cell(s, c, v)
			if _, number := v.(string); number {
				record[c] = harmless(record[c])
			}
		}
		if err := out.Write(record); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func harmless(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}

// XLSX writes the tables as one workbook, a sheet each, with the totals as formulas.
// Same tables, same bytes. The error is the writer's or the library's.
func XLSX(w io.Writer, s *words.Speaker, tables []Table) error {
	book := excelize.NewFile().SetZipWriter(func(w io.Writer) excelize.ZipWriter { return &orderedZip{Writer: zip.NewWriter(w)} })
	defer book.Close()
	bold, err := book.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	for i := range tables {
		if err := tables[i].sheet(book, s, bold, i == 0); err != nil {
			return err
		}
	}
	return book.Write(w)
}

// sheet adds the table to the workbook; the first takes the place of the workbook's empty sheet.
func (t *Table) sheet(book *excelize.File, s *words.Speaker, bold int, first bool) error {
	name := sheetName(s.Say(t.Name()))
	if first {
		if err := book.SetSheetName(book.GetSheetName(0), name); err != nil {
			return err
		}
	} else if _, err := book.NewSheet(name); err != nil {
		return err
	}
	sw, err := book.NewStreamWriter(name)
	if err != nil {
		return err
	}
	styles, err := t.styles(book)
	if err != nil {
		return err
	}
	if err := sw.SetColWidth(1, len(t.Columns), 16); err != nil {
		return err
	}
	if err := t.stream(sw, s, bold, styles); err != nil {
		return err
	}
	return sw.Flush()
}

// sheetName keeps to what a workbook allows: 31 characters, none of []:*?/\.
func sheetName(name string) string {
	r := []rune(strings.NewReplacer("[", "", "]", "", ":", "", "*", "", "?", "", "/", " ", `\`, " ").Replace(name))
	return string(r[:min(len(r), 31)])
}

// styles are the number formats of the columns.
func (t *Table) styles(book *excelize.File) ([]int, error) {
	out := make([]int, len(t.Columns))
	for c, col := range t.Columns {
		format := "General"
		if col.Decimals > 0 {
			format = "0." + strings.Repeat("0", col.Decimals)
		}
		id, err := book.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err != nil {
			return nil, err
		}
		out[c] = id
	}
	return out, nil
}

func (t *Table) stream(sw *excelize.StreamWriter, s *words.Speaker, bold int, styles []int) error {
	head := make([]any, len(t.Columns))
	for c, col := range t.Columns {
		head[c] = excelize.Cell{StyleID: bold, Value: s.Say(col.Head)}
	}
	if err := sw.SetRow("A1", head); err != nil {
		return err
	}
	for i, row := range t.Rows {
		cells := make([]any, len(row))
		for c, v := range row {
			switch shown := v.(type) {
			case words.Text:
				v = s.Say(shown)
			case float64:
				v = rounded(shown, 6)
			}
			cells[c] = excelize.Cell{StyleID: styles[c], Value: v}
		}
		if err := sw.SetRow("A"+strconv.Itoa(i+2), cells); err != nil {
			return err
		}
	}
	if !t.hasTotals() || len(t.Rows) == 0 {
		return nil
	}
	return sw.SetRow("A"+strconv.Itoa(len(t.Rows)+2), t.formulas(s, bold, styles))
}

// formulas is the row of totals: SUM over the column, with its value for programs that do not reckon.
func (t *Table) formulas(s *words.Speaker, bold int, styles []int) []any {
	cells := make([]any, len(t.Columns))
	if !t.Columns[0].Total {
		cells[0] = excelize.Cell{StyleID: bold, Value: s.T("report.total")}
	}
	for c, col := range t.Columns {
		if col.Total {
			name, _ := excelize.ColumnNumberToName(c + 1) // fails only for column 0 or above 16384
			sum := fmt.Sprintf("SUM(%s2:%s%d)", name, name, len(t.Rows)+1)
			cells[c] = excelize.Cell{StyleID: styles[c], Formula: sum, Value: t.sum(c)}
		}
	}
	return cells
}
