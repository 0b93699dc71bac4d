package report

import (
	"tuckring/internal/pace"
	"tuckring/internal/words"
)

// Tables are all tables of the report, in the order of the page.
func (r *Report) Tables() []Table {
	return []Table{r.ColourTable(), r.RingTable(), r.TimeTable()}
}

func column(head string) Column { return Column{Head: words.T("report.head." + head)} }

func summed(head string, decimals int) Column {
	return Column{Head: words.T("report.head." + head), Decimals: decimals, Total: true}
}

// ColourTable is the paper of each colour that the figure uses.
func (r *Report) ColourTable() Table {
	t := Table{Key: "colours", Columns: []Column{
		column("colour"), summed("units", 0), summed("spare", 0), summed("together", 0),
		column("sheet"), column("per_sheet"), summed("sheets", 0), summed("mass", 1),
	}}
	for _, c := range r.Paper.ByColour {
		t.Rows = append(t.Rows, []any{c.Name, c.Units, c.Spare, c.Units + c.Spare, c.Sheet, c.PerSheet, c.Sheets, c.MassG})
	}
	return t
}

// RingTable is every run of every ring, from the bottom up.
func (r *Report) RingTable() Table {
	t := Table{Key: "rings", Columns: []Column{column("ring"), column("run"), column("colour"), summed("units", 0)}}
	names := map[string]string{}
	for _, c := range r.Units.ByColour {
		names[c.Colour] = c.Name
	}
	for _, ring := range r.Rings {
		for i, run := range ring.Runs {
			t.Rows = append(t.Rows, []any{ring.Ring, i + 1, names[run.Colour], run.Units})
		}
	}
	return t
}

// TimeTable is the estimate, stage by stage, to the whole minute.
func (r *Report) TimeTable() Table {
	t := Table{Key: "time", Columns: []Column{column("stage"), summed("low", 0), summed("best", 0), summed("high", 0)}}
	ranges := r.Time.Range
	stages := []string{"cutting", "folding", "assembly", "finishing"}
	values := []pace.Range{ranges.Cutting, ranges.Folding, ranges.Assembly, ranges.Finishing}
	ends := [3][]float64{}
	for _, v := range values {
		ends[0], ends[1], ends[2] = append(ends[0], v.Low), append(ends[1], v.Best), append(ends[2], v.High)
	}
	for i := range ends {
		ends[i], _ = Printed(ends[i], 0)
	}
	for i, stage := range stages {
		t.Rows = append(t.Rows, []any{words.T("report.stage." + stage), ends[0][i], ends[1][i], ends[2][i]})
	}
	return t
}
