package figure

// SidesSwapped says that the side given as the long one is the shorter: the rule of every place where a unit is entered.
func (u Unit) SidesSwapped() bool { return u.LongMM < u.ShortMM }

// Known says that there is such a fold.
func (f Fold) Known() bool { return f == Doubled || f == Single }
