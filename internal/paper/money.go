package paper

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/currency"
	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"tuckring/internal/words"
)

// Money is an exact amount: whole minor units (cents) of a currency.
type Money struct {
	Minor    int64  `json:"minor"`
	Currency string `json:"currency"` // ISO 4217 code, "EUR"
}

// maxPriceMajor is the dearest price taken for real, in whole euros, pounds, yen …
const maxPriceMajor = 1_000_000

var pricePattern = regexp.MustCompile(`^([0-9]{1,9})(?:\.([0-9]+))?$`)

// ParseMoney reads a price such as "4.99" in the currency of the ISO 4217 code. It refuses commas,
// signs, symbols and more decimals than the currency has, with a figure.Fault at where.
func ParseMoney(where, text, code string) (Money, error) {
	scale, err := decimals(code)
	if err != nil {
		return Money{}, err
	}
	text = strings.TrimSpace(text)
	if strings.Contains(text, ",") {
		return Money{}, fault(where, words.T("paper.price.comma", "Found", quote(text)), words.T("paper.price.point"))
	}
	m := pricePattern.FindStringSubmatch(text)
	if m == nil {
		return Money{}, fault(where, words.T("paper.price.unreadable", "Found", quote(text)), words.T("paper.price.allowed"))
	}
	if len(m[2]) > scale {
		return Money{}, fault(where, words.T("paper.price.decimals", "Found", quote(text)),
			words.T("paper.price.fewer", "Currency", code, "Count", scale))
	}
	minor, err := strconv.ParseInt(m[1]+m[2]+strings.Repeat("0", scale-len(m[2])), 10, 64)
	if err != nil || minor > maxPriceMajor*pow10(scale) {
		return Money{}, fault(where, words.T("paper.price.high", "Found", quote(text)), words.T("paper.price.most", "Most", maxPriceMajor))
	}
	return Money{minor, strings.ToUpper(code)}, nil
}

// decimals is how many decimals the currency has (minorUnits). It fails with a figure.Fault at
// "currency".
func decimals(code string) (int, error) {
	scale, ok := minorUnits[strings.ToUpper(code)]
	if !ok {
		return 0, fault("currency", words.T("paper.currency.unknown", "Found", quote(code)), words.T("paper.currency.allowed"))
	}
	return scale, nil
}

// ValidateCurrency refuses what is not an ISO 4217 code, with a figure.Fault at "currency".
func ValidateCurrency(code string) error {
	_, err := decimals(code)
	return err
}

func pow10(n int) int64 {
	p := int64(1)
	for range n {
		p *= 10
	}
	return p
}

// Decimal writes the amount with all decimals of its currency and no symbol: "4.99".
func (m Money) Decimal() string {
	scale, err := decimals(m.Currency)
	if err != nil || scale == 0 {
		return strconv.FormatInt(m.Minor, 10)
	}
	sign, minor := "", m.Minor
	if minor < 0 {
		sign, minor = "-", -minor
	}
	p := pow10(scale)
	return fmt.Sprintf("%s%d.%0*d", sign, minor/p, scale, minor%p)
}

// String writes the amount as English readers expect it: "€4.99", "CHF 4.99".
func (m Money) String() string {
	symbol := m.Currency
	if unit, err := currency.ParseISO(m.Currency); err == nil {
		symbol = message.NewPrinter(language.English).Sprint(currency.Symbol(unit))
	}
	if symbol == "" {
		return m.Decimal()
	}
	if r := []rune(symbol); unicode.IsLetter(r[len(r)-1]) {
		symbol += " "
	}
	return symbol + m.Decimal()
}

// Times is the price of n.
func (m Money) Times(n int) Money { return Money{m.Minor * int64(n), m.Currency} }

// AddMoney adds an amount to sums of which each has its own currency.
func AddMoney(sums []Money, m Money) []Money {
	for i := range sums {
		if sums[i].Currency == m.Currency {
			sums[i].Minor += m.Minor
			return sums
		}
	}
	return append(sums, m)
}
