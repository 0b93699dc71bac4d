package picture

import (
	"maps"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// plan is which paper every item gets.
type plan struct {
	used         []int // papers that may be used, in order
	paper        []int // of each item
	total, bound int64 // in millionths: what it costs, and the least that any plan can cost
	proven       bool
}

// stock works out how many wants may get each paper: what there is, less what the figure has of it elsewhere. It fails when more
// is used elsewhere than there is, and when all together is too little.
func (k *chooser) stock() error {
	k.limits = make([]int, len(k.papers))
	for p := range k.limits {
		k.limits[p] = -1
	}
	if len(k.c.Stock) == 0 {
		return nil
	}
	elsewhere := k.elsewhere()
	for _, id := range slices.Sorted(maps.Keys(k.c.Stock)) {
		have, p := k.c.Stock[id], k.index(id)
		if _, own := k.g.Figure.ColourIndex(id); p < 0 && !own {
			return words.T("picture.no_paper", "ID", clip(id))
		}
		if have < 0 || have > MaxStock {
			return words.T("picture.stock.less", "Name", k.nameOf(id), "Found", have, "Most", MaxStock)
		}
		if have < elsewhere[id] {
			return words.T("picture.stock.elsewhere", "Name", k.nameOf(id), "Count", have, "Used", elsewhere[id])
		}
		if p >= 0 {
			k.limits[p] = (have - elsewhere[id]) / k.twice
		}
	}
	all := make([]int, len(k.papers))
	for p := range all {
		all[p] = p
	}
	if most := k.most(all); most >= 0 && most < len(k.wants) {
		return k.tooLittle(most)
	}
	return nil
}

func (k *chooser) tooLittle(most int) error {
	return words.T("picture.stock.little", "Count", len(k.wants)*k.twice, "Stock", most*k.twice, "Missing", (len(k.wants)-most)*k.twice)
}

func (k *chooser) nameOf(id string) string {
	if p := k.index(id); p >= 0 {
		return k.papers[p].Name
	}
	i, _ := k.g.Figure.ColourIndex(id)
	return k.g.Figure.Colours[i].Name
}

// most is how many wants some papers are enough for, −1 for any number.
func (k *chooser) most(papers []int) int {
	sum := 0
	for _, p := range papers {
		if k.limits[p] < 0 {
			return -1
		}
		sum += k.limits[p]
	}
	return sum
}

func (k *chooser) enough(papers []int) bool {
	most := k.most(papers)
	return most < 0 || most >= len(k.wants)
}

// plan finds the best papers and the best assignment of them.
func (k *chooser) plan() (plan, error) {
	all := make([]int, len(k.papers))
	for p := range all {
		all[p] = p
	}
	if k.c.Best == 0 || k.c.Best >= len(all) {
		out, ok := k.assign(all)
		if !ok {
			return out, k.notSo()
		}
		return out, nil
	}
	var must []int
	if ground := k.index(k.c.Ground); ground >= 0 && k.c.Ground != "" && k.back() >= 0 {
		must = append(must, ground)
	}
	s := newMedians(k.costs, len(k.items), len(k.papers), k.c.Best, k.work)
	papers, _, bound := s.solve(must)
	free, ok := k.assign(papers)
	if ok && free.total == int64(s.total) {
		free.bound, free.proven = bound, free.proven && bound == free.total
		return free, nil
	}
	return k.among(papers, bound, must, s.work)
}

// among finds the papers that are best when there is only so much of some: it weighs every choice where the work allows, and
// else what comes of exchanging papers one by one. start is the choice that were best with enough of all, bound what that costs.
func (k *chooser) among(start []int, bound int64, must []int, work int) (plan, error) {
	best := plan{total: math.MaxInt64}
	m, size := len(k.papers), len(k.items)
	try := func(papers []int) bool {
		work -= size * len(papers)
		for _, p := range must {
			if !slices.Contains(papers, p) {
				return false
			}
		}
		if !k.enough(papers) || k.least(papers, best.total) >= best.total {
			return false
		}
		out, ok := k.assign(papers)
		work -= 20 * size * len(papers) // a flow visits each unit and paper that often, by and large
		if !ok || out.total >= best.total {
			return false
		}
		best = out
		return true
	}
	try(start)
	if choices(m, k.c.Best)*float64(size*k.c.Best) <= float64(work) {
		each(m, k.c.Best, func(papers []int) bool { try(papers); return work > 0 })
		if best.paper == nil {
			return best, k.notSo()
		}
		if work > 0 {
			best.bound = best.total
			if !best.proven {
				best.bound = min(best.bound, bound)
			}
			return best, nil
		}
	}
	if best.paper == nil {
		k.plenty(try)
	}
	for again := best.paper != nil; again && work > 0; {
		again = false
		for x := range best.used {
			for p := range m {
				if work <= 0 || slices.Contains(best.used, p) {
					continue
				}
				other := slices.Clone(best.used)
				other[x] = p
				slices.Sort(other)
				again = try(other) || again
			}
		}
	}
	if best.paper == nil {
		return best, k.notSo()
	}
	best.bound, best.proven = bound, bound == best.total
	return best, nil
}

// plenty tries the papers of which there are most.
func (k *chooser) plenty(try func([]int) bool) {
	order := make([]int, len(k.papers))
	for p := range order {
		order[p] = p
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return int(uint(k.limits[b]))&math.MaxInt32 - int(uint(k.limits[a]))&math.MaxInt32
	})
	papers := slices.Clone(order[:k.c.Best])
	slices.Sort(papers)
	try(papers)
}

// least is what a choice costs at least, with enough of all; once that is too much already, something as much.
func (k *chooser) least(papers []int, most int64) (sum int64) {
	m := len(k.papers)
	for i := range k.items {
		row := k.costs[i*m:][:m]
		c := row[papers[0]]
		for _, p := range papers[1:] {
			c = min(c, row[p])
		}
		if sum += c; sum >= most {
			return sum
		}
	}
	return sum
}

// choices is how many ways there are to choose k of m.
func choices(m, k int) float64 {
	out := 1.0
	for i := range k {
		out = out * float64(m-i) / float64(i+1)
	}
	return out
}

// each calls do with every choice of k of m, in order, until it says no.
func each(m, k int, do func([]int) bool) {
	set := make([]int, k)
	for i := range set {
		set[i] = i
	}
	for do(slices.Clone(set)) {
		i := k - 1
		for i >= 0 && set[i] == m-k+i {
			i--
		}
		if i < 0 {
			return
		}
		set[i]++
		for j := i + 1; j < k; j++ {
			set[j] = set[j-1] + 1
		}
	}
}

// notSo says why there is no plan although all papers together would be enough.
func (k *chooser) notSo() error {
	if k.c.Best > 0 && k.c.Best < len(k.papers) {
		order := slices.Clone(k.limits)
		slices.SortFunc(order, func(a, b int) int { return b - a })
		sum := 0
		for _, n := range order[:k.c.Best] {
			sum += n
		}
		if sum < len(k.wants) {
			return words.T("picture.stock.best", "Best", k.c.Best, "Count", len(k.wants)*k.twice, "Stock", sum*k.twice)
		}
	}
	if back := k.back(); back >= 0 {
		return words.T("picture.stock.background", "Count", len(k.items[back].wants)*k.twice)
	}
	return words.T("picture.stock.pairs")
}

// back is the item of what surrounds the motif, −1 for none.
func (k *chooser) back() int {
	return slices.IndexFunc(k.items, func(it item) bool { return it.back })
}

// assign gives every item one of some papers, within the limits. It is not ok when there is too little of them.
func (k *chooser) assign(papers []int) (plan, bool) {
	back := k.back()
	if back < 0 {
		caps := make([]int, len(papers))
		for i, p := range papers {
			caps[i] = k.limits[p]
		}
		return k.share(papers, caps, -1)
	}
	best, ok := plan{total: math.MaxInt64}, false
	need, m := len(k.items[back].wants), len(k.papers)
	ground := k.index(k.c.Ground)
	lowest := int64(math.MaxInt64)
	order := make([]int, len(papers))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := k.costs[back*m+papers[a]], k.costs[back*m+papers[b]]
		return int(min(max(x-y, -1), 1))
	})
	rest := int64(-1)
	for _, x := range order {
		p := papers[x]
		if ground >= 0 && k.c.Ground != "" && p != ground || k.limits[p] >= 0 && k.limits[p] < need {
			continue
		}
		own := k.costs[back*m+p]
		if rest >= 0 && own+rest >= best.total {
			break // all that follow are worse for it, and the rest cannot be better
		}
		caps := make([]int, len(papers))
		for i, q := range papers {
			caps[i] = k.limits[q]
		}
		if caps[x] >= 0 {
			caps[x] -= need
		}
		out, fine := k.share(papers, caps, back)
		if rest < 0 {
			rest = k.least(papers, math.MaxInt64) - own
			rest = max(rest, 0)
		}
		if !fine {
			continue
		}
		out.paper[back] = p
		out.total += own
		out.bound += own
		lowest = min(lowest, out.bound)
		if out.total < best.total {
			best, ok = out, true
		}
	}
	if ok {
		best.bound = min(best.total, lowest)
		best.proven = best.bound == best.total
	}
	return best, ok
}

// share gives all items but one (−1 for none) papers of which so many wants may have each.
func (k *chooser) share(papers, caps []int, but int) (plan, bool) {
	out := plan{used: papers, paper: make([]int, len(k.items))}
	var ones, twos []int
	for i, it := range k.items {
		switch {
		case i == but:
		case len(it.wants) == 1:
			ones = append(ones, i)
		default:
			twos = append(twos, i)
		}
	}
	if len(twos) == 0 {
		f := k.flow(ones, papers, caps)
		if !f.solve() {
			return out, false
		}
		k.put(&out, f, ones, papers)
		out.bound, out.proven = out.total, true
		return out, true
	}
	return k.shareTwos(out, ones, twos, papers, caps)
}

// shareTwos does so where mirror images get one paper together. Images may part in the flow, as if they were units by themselves, which costs
// no more than what is to be; where they do not it is the best. Else as many units by themselves get each paper as there, and pairs what is left.
func (k *chooser) shareTwos(out plan, ones, twos, papers, caps []int) (plan, bool) {
	m := len(k.papers)
	whole := len(ones)
	f := newFlow(whole+2*len(twos), len(papers), caps, func(i, j int) int64 {
		if i < whole {
			return 2 * k.costs[ones[i]*m+papers[j]]
		}
		return k.costs[twos[(i-whole)/2]*m+papers[j]]
	})
	if !f.solve() {
		return out, false
	}
	out.bound = f.total() / 2
	parted := false
	singles := make([]int, len(papers))
	for i := range whole {
		singles[f.at[i]]++
	}
	for i := whole; i < f.n; i += 2 {
		parted = parted || f.at[i] != f.at[i+1]
	}
	if !parted {
		for i, o := range ones {
			out.paper[o] = papers[f.at[i]]
			out.total += k.costs[o*m+out.paper[o]]
		}
		for i, t := range twos {
			out.paper[t] = papers[f.at[whole+2*i]]
			out.total += k.costs[t*m+out.paper[t]]
		}
		out.proven = out.total == out.bound
		return out, true
	}
	for _, keep := range []bool{true, false} { // what units by themselves have there, or what pairs leave of all
		half := slices.Clone(caps)
		for j := range half {
			if half[j] < 0 {
				continue
			}
			if keep {
				half[j] -= singles[j]
			}
			half[j] /= 2
		}
		pairs := k.flow(twos, papers, half)
		if !pairs.solve() {
			continue
		}
		rest := slices.Clone(caps)
		for j := range rest {
			if rest[j] >= 0 {
				rest[j] -= 2 * pairs.count[j]
			}
		}
		alone := k.flow(ones, papers, rest)
		if !alone.solve() {
			continue
		}
		k.put(&out, pairs, twos, papers)
		k.put(&out, alone, ones, papers)
		out.proven = out.total == out.bound
		return out, true
	}
	return out, false
}

func (k *chooser) flow(items, papers, caps []int) *flow {
	m := len(k.papers)
	return newFlow(len(items), len(papers), caps, func(i, j int) int64 { return k.costs[items[i]*m+papers[j]] })
}

// put notes what a flow gave.
func (k *chooser) put(out *plan, f *flow, items, papers []int) {
	for i, it := range items {
		out.paper[it] = papers[f.at[i]]
	}
	out.total += f.total()
}

// gained is what further papers would bring.
type gained struct {
	oneMore *Gain
	tenMore []Gain
}

// ten is how many more units of a paper are thought of.
const ten = 10

// gains works out what one more paper, and ten more units of each that is used up, would bring to a plan.
func (k *chooser) gains(p plan) (out gained) {
	if !k.c.Gains {
		return out
	}
	counts := make([]int, len(k.papers))
	for i, it := range k.items {
		counts[p.paper[i]] += len(it.wants)
	}
	whole := float64(len(k.wants)) * micro
	for _, j := range p.used {
		if k.limits[j] < 0 || counts[j] < k.limits[j] {
			continue
		}
		k.limits[j] += ten / k.twice
		if more, ok := k.assign(p.used); ok && more.total < p.total {
			out.tenMore = append(out.tenMore, Gain{k.papers[j], float64(p.total-more.total) / whole})
		}
		k.limits[j] -= ten / k.twice
	}
	out.oneMore = k.another(p, whole)
	return out
}

// another is the paper that would bring most if it were there too, as many as are wanted: one of those to choose from
// that were not chosen, or one of the ready papers.
func (k *chooser) another(p plan, whole float64) *Gain {
	own := len(k.papers)
	candidates := slices.Clone(k.papers)
	for _, ready := range figure.Papers {
		if !slices.ContainsFunc(k.papers, func(c figure.Colour) bool { return c.Hex == ready.Hex }) {
			candidates = append(candidates, figure.Colour{ID: ready.ID, Name: ready.Name().String(), Hex: ready.Hex})
		}
	}
	best, most := -1, int64(0)
	for c := range candidates {
		if slices.Contains(p.used, c) {
			continue
		}
		lab := labOfPaper(candidates[c])
		sum := int64(0)
		for i, it := range k.items {
			if it.back && k.c.Ground != "" {
				continue
			}
			then := int64(0)
			if c < own {
				then = k.costs[i*own+c]
			} else {
				for _, w := range it.wants {
					then += k.cost(w, lab)
				}
			}
			sum += max(0, k.costs[i*own+p.paper[i]]-then)
		}
		if sum > most {
			best, most = c, sum
		}
	}
	if best < 0 {
		return nil
	}
	return &Gain{candidates[best], float64(most) / whole}
}
