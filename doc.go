// Package raftwright is the table of contents of the house: the steps of the
// job, and the room (package) where each is done.
//
//	the words and figures    unit      typed quantities, their parser, tape fractions
//	                         source    the bibliography that every figure cites
//	                         usual     what is taken where a brief says nothing, each figure once
//	                         finding   findings, assumptions, and the working of a figure
//	what is in the water     chem      elements, ions, activity, pH, EC, saturation, oxygen
//	                         water     a water test: its contradictions, limits, cures, acid
//	what to put into it      mix       labels and formulas, doses, measures, tanks
//	what is grown            crop      the catalogue, growth, uptake, emergence
//	when                     sky       sun, light, reference water use, climate files
//	                         pool      warmth and oxygen of the solution
//	                         season    windows, batches, a steady harvest, the calendar
//	what goes wrong          trouble   signs and troubles, and which is the likeliest
//	what holds it            frame     vessel, boards, water load, holds, corners, liner
//	what floats on it        raft      sheets, holes, marking, flotation
//	how it is cut            cut       boards and sheets from stock, at proven least cost
//	what it costs            cost      money, prices, the shopping list, break-even
//	what the grower said     brief     one document, each text with its place; read, changed, written
//	what happened            bed       the visits: what was read, then what was done
//	the plan                 plan      Make(brief, book): the only place where trades meet
//	what it holds, and now  tend      the bed from plan and log: its ions, its leaks, how sure
//	a day of many beds       workshop  one purchase, one saw list and the run of the day for many families
//	is one better            trial     two treatments by a drawn lot, and what their weights show
//	what a year was          programme records + a funder's rules + a day → a report: counts, cells, intervals
//	what a command answers   answer    the plan as the JSON documents of the contract
//	paper                    draw      drawings as a list of lines, text and dimensions
//	                         page      a document of headings, tables, figures, tick boxes
//	                         lang      the sentences, numbers and dates of a language
//	                         packet    plan → document for a grower
//	                         press     document → PDF, HTML, SVG, terminal
//	what is kept             store     beds, briefs with their versions, logs, people, keys, in a database
//	the application          web       pages by subject, each an address that answers without script
//	for programs             api       the same beds, plans and advice as JSON
//	the program              cmd/raftwright
//	the plan in a browser    cmd/engine
//
// One thing flows: brief → plan → packet. Everything down to packet is pure: no
// clock, disk, network or chance, so that the same brief gives the same bytes.
// There is no promise of a stable Go API; the brief, the commands and the JSON
// are what is kept (see docs/).
package raftwright
