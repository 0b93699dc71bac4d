package report

import (
	"slices"
	"strconv"
	"strings"

	"tuckring/internal/pace"
	"tuckring/internal/paper"
	"tuckring/internal/words"
)

// Tables are all tables of the report, in the order of the page.
func (r *Report) Tables() []Table {
	tables := []Table{
		r.ColourTable(), r.ShoppingTable(), r.CuttingTable(), r.OffcutTable(), r.KitTable(), r.TimeTable(), r.RingTable(),
	}
	if len(r.Units.ByPart) > 0 {
		tables = append(tables, r.PartTable())
	}
	return tables
}

func column(head string) Column { return Column{Head: words.T("report.head." + head)} }

func summed(head string, decimals int) Column {
	return Column{Head: words.T("report.head." + head), Decimals: decimals, Total: true}
}

// ColourTable is the paper of each colour that the figure uses: what there is still to do, where some of it is at hand.
func (r *Report) ColourTable() Table {
	if r.Shopping.FromStock() {
		return r.colourTableAfterStock()
	}
	t := Table{Key: "colours", Columns: []Column{
		column("colour"), summed("units", 0), summed("spare", 0), summed("together", 0),
		column("sheet"), column("per_sheet"), summed("sheets", 0), summed("mass", 1),
	}}
	for _, c := range r.Paper.ByColour {
		t.Rows = append(t.Rows, []any{c.Name, c.Units, c.Spare, c.Units + c.Spare, c.Sheet, c.PerSheet, c.Sheets, c.MassG})
	}
	return t
}

// colourTableAfterStock counts what is left: units + spare − folded = to fold; these less those cut = to cut, as
// the table of shopping goes on.
func (r *Report) colourTableAfterStock() Table {
	t := Table{Key: "colours", Columns: []Column{
		column("colour"), summed("units", 0), summed("spare", 0), summed("folded", 0), summed("to_fold", 0), summed("cut", 0),
		column("sheet"), column("per_sheet"), summed("sheets", 0), summed("mass", 1),
	}}
	for _, l := range r.Shopping.Lines {
		t.Rows = append(t.Rows, []any{l.Name, l.Units, l.Spare, l.Folded, l.ToFold, l.Cut, l.Sheet, l.line.PerSheet, l.Sheets, l.MassG})
	}
	return t
}

// ShoppingTable is what to take from the stock and what to buy, for each colour.
func (r *Report) ShoppingTable() Table {
	t := Table{Key: "shopping", Columns: []Column{
		column("colour"), column("sheet"), column("grammage"), summed("to_cut", 0),
	}}
	parts := slices.ContainsFunc(r.Shopping.Lines, func(l ShoppingLine) bool { return l.FromPart > 0 })
	if parts {
		t.Columns = append(t.Columns, summed("parts", 0), summed("from_part", 0))
	}
	t.Columns = append(t.Columns, summed("sheets", 0), summed("own", 0), summed("buy", 0), column("pack_of"), summed("packs", 0))
	money := len(r.Shopping.Costs) > 0
	if money {
		first := r.Shopping.Costs[0]
		cost := Column{Head: words.T("report.head.cost", "Currency", first.Currency), Decimals: decimalsOf(first), Total: true}
		t.Columns = append(t.Columns, cost)
	}
	t.Columns = append(t.Columns, summed("left", 0))
	for _, l := range r.Shopping.Lines {
		row := []any{l.Name, l.Sheet, l.Grammage, l.ToCut}
		if parts {
			row = append(row, l.PartSheets(), l.FromPart)
		}
		row = append(row, l.Sheets, l.Own, l.Buy)
		if l.PackOf > 1 {
			row = append(row, l.PackOf, l.Packs)
		} else { // sold singly
			row = append(row, nil, nil)
		}
		if money {
			row = append(row, amount(l.Cost))
		}
		t.Rows = append(t.Rows, append(row, l.Left))
	}
	return t
}

// amount is a sum of money as a number, nil when it is not known. A sum of up to a million units of a
// currency, to the last of its decimals, fits a float64.
func amount(m *paper.Money) any {
	if m == nil {
		return nil
	}
	v, _ := strconv.ParseFloat(m.Decimal(), 64) // Decimal writes what ParseFloat reads
	return v
}

func decimalsOf(m paper.Money) int {
	_, after, _ := strings.Cut(m.Decimal(), ".")
	return len(after)
}

// CuttingTable is every cut of every plan in its order.
func (r *Report) CuttingTable() Table {
	t := Table{Key: "cutting", Columns: []Column{
		column("plan"), column("from_sheet"), column("sheets"), column("gives_units"), column("stacks"), column("step"), {Head: words.T("report.head.stop_mm"), Decimals: asIs},
		{Head: words.T("report.head.stop_in"), Decimals: 3}, column("do"),
	}}
	for i, p := range r.Cutting.Plans {
		sheet := words.T("report.plan.sheet", "Sheet", p.Sheet)
		if p.Part {
			sheet = words.T("report.plan.part", "Sheet", p.Sheet)
		}
		if p.Uncut {
			t.Rows = append(t.Rows, []any{i + 1, sheet, p.Sheets(), p.Units, 0, nil, nil, nil, words.T("cutpage.uncut")})
		}
		for k, step := range p.Steps {
			t.Rows = append(t.Rows, []any{i + 1, sheet, p.Sheets(), p.Units, len(p.Stacks), k + 1, step.StopMM, paper.Inches(step.StopMM), step.Text()})
		}
	}
	return t
}

// OffcutTable is the paper left over.
func (r *Report) OffcutTable() Table {
	t := Table{Key: "offcuts", Columns: []Column{
		column("colour"), {Head: words.T("report.head.width"), Decimals: asIs}, {Head: words.T("report.head.length"), Decimals: asIs},
		summed("pieces", 0), column("gives_units"), column("gives"),
	}}
	for _, o := range r.Cutting.Offcuts {
		gives := make([]string, len(o.Pieces))
		for i, p := range o.Pieces {
			gives[i] = strconv.Itoa(p.Count) + " " + p.Name
		}
		t.Rows = append(t.Rows, []any{r.colourName(o.Colour), o.WidthMM, o.LongMM, o.Count, o.Units, strings.Join(gives, ", ")})
	}
	return t
}

// KitTable is what each person folds.
func (r *Report) KitTable() Table {
	t := Table{Key: "kits", Columns: []Column{column("kit"), column("colour"), summed("units", 0)}}
	for _, k := range r.Kits {
		for _, lot := range k.Lots {
			t.Rows = append(t.Rows, []any{k.Kit, r.colourName(lot.Colour), lot.Units})
		}
	}
	return t
}

func (r *Report) colourName(id string) string {
	for i := range r.Units.ByColour {
		if r.Units.ByColour[i].Colour == id {
			return r.Units.ByColour[i].Name
		}
	}
	return id
}

// PartTable is how many units each part takes, those of its tucked extras among them.
func (r *Report) PartTable() Table {
	t := Table{Key: "parts", Columns: []Column{column("part"), summed("units", 0)}}
	for _, p := range r.Units.ByPart {
		t.Rows = append(t.Rows, []any{p.Name, p.Units})
	}
	return t
}

// RingTable is every run of every ring, from the bottom up, and which part it is of where there are several.
func (r *Report) RingTable() Table {
	t := Table{Key: "rings", Columns: []Column{column("ring"), column("run"), column("colour"), summed("units", 0)}}
	parts := map[string]string{}
	for _, p := range r.Units.ByPart {
		parts[p.Part] = p.Name
	}
	if len(parts) > 0 {
		t.Columns = append([]Column{column("part")}, t.Columns...)
	}
	names := map[string]string{}
	for _, c := range r.Units.ByColour {
		names[c.Colour] = c.Name
	}
	for _, ring := range r.Rings {
		for i, run := range ring.Runs {
			row := []any{ring.Ring, i + 1, names[run.Colour], run.Units}
			if len(parts) > 0 {
				row = append([]any{parts[ring.Part]}, row...)
			}
			t.Rows = append(t.Rows, row)
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
		ends[i], _ = paper.AddUp(ends[i], 0)
	}
	for i, stage := range stages {
		t.Rows = append(t.Rows, []any{words.T("report.stage." + stage), ends[0][i], ends[1][i], ends[2][i]})
	}
	return t
}
