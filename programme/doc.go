// Package programme turns what was done with growers into a report: records, a funder's rules and an as-of day give figures, each
// with the records that it opens to. It holds no database and no clock; the same records, rules and day give the same
// report. How it counts, compares and protects stands in docs/program.md, with the sources.
package programme
