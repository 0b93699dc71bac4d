package paper

import "strings"

// minorUnits is how many decimals each currency has: ISO 4217:2015, list one, column "minor unit".
// Standing: the codes and most units as republished with the list; units changed since (UGX 0, CLF 4) and codes
// added since (SLE, UYW, VED, VES, XCG, ZWG) from memory. Codes without a minor unit (gold, bonds, tests) are no
// prices and left out. What CLDR calls digits is another thing: how many a shop shows in its own land
// (0 for PKR or IDR, which have 2).
var minorUnits = byCode(map[int]string{
	0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
	2: `
		AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE
		CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD
		HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK
		MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD
		RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH
		USD USN UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG
		` + withdrawn,
	3: "BHD IQD JOD KWD LYD OMR TND",
	4: "CLF UYW",
})

// withdrawn are currencies that left the list since 2020 and may still stand in the settings of a design.
const withdrawn = "ANG BGN CUC HRK SLL ZWL"

func byCode(lists map[int]string) map[string]int {
	out := map[string]int{}
	for units, codes := range lists {
		for _, code := range strings.Fields(codes) {
			out[code] = units
		}
	}
	return out
}
