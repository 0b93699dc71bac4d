package size

// WishForm and WaysTo are for the tests of what a way to a size promises.
var (
	WishForm = wishForm
	WaysTo   = waysTo
)
