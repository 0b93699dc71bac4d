package figure

import "tuckring/internal/words"

// Paper is a ready paper to choose from: a plain colour with a name that anybody can picture. The
// values are our own choice, made to be told apart on a screen.
type Paper struct {
	ID, Hex string
}

// Name is the paper's name in the reader's language; a figure that takes the paper keeps it.
func (p Paper) Name() words.Text { return words.T("figure.paper." + p.ID) }

// Papers are the ready papers, from light to dark through the hues.
var Papers = []Paper{
	{"chalk", "#f4efe6"}, {"sand", "#e3cfa4"}, {"sun", "#f4c926"}, {"honey", "#dd9a24"},
	{"apricot", "#f2a470"}, {"poppy", "#d8402f"}, {"brick", "#a63a2b"}, {"rose", "#e796aa"},
	{"plum", "#7b3a67"}, {"heather", "#a08bc9"}, {"sky", "#92c9e8"}, {"sea", "#2277a0"},
	{"midnight", "#26345f"}, {"mint", "#a3d6b8"}, {"moss", "#66883e"}, {"pine", "#1f5140"},
	{"chestnut", "#70452a"}, {"stone", "#9b968d"}, {"soot", "#2b2b2e"},
}

// PaperByID finds a ready paper.
func PaperByID(id string) (Paper, bool) {
	for _, p := range Papers {
		if p.ID == id {
			return p, true
		}
	}
	return Paper{}, false
}
