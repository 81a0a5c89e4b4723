package search

import "strings"

// stockWords ask for what is on the shelf.
const stockWords = "in stock, on hand, on the shelf, auf Lager, vorrätig, am Lager, lagernd, vorhanden, verfügbar, available"

// layoutWords name the layout of a fork, legWords one of its legs.
var (
	layoutWords = map[string]string{
		"upside-down":  "upside-down, upside-down fork, USD, USD fork, inverted, inverted fork, Upside-down-Gabel, USD-Gabel",
		"conventional": "conventional, right way up, konventionell, konventionelle",
	}
	legWords = map[string]string{
		"left":  "left, left leg, links, linke, linker, linkes, linken",
		"right": "right, right leg, rechts, rechte, rechter, rechtes, rechten",
	}
)

// idle words say nothing in a search.
const idle = "fork, forks, gabel, motorcycle, bike, motorrad, for, für, of, the, a, an, and, und, with, mit, der, die, das, " +
	"leg, legs, fork leg, stanchion, Holm, Holme, Holmen, Gabelholm, Standrohr, Standrohre, Standrohren, " +
	"diameter, Durchmesser, size, Größe, mm, part, parts, teil, teile, year, bj, baujahr, von, from, ab, to, bis"

// commas gives the parts of a list as the tables above write it.
func commas(list string) []string { return strings.Split(list, ", ") }

// endings are what German and English put behind a word for many of it.
var endings = []string{"s", "n", "e", "es", "en"}
