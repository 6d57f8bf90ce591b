package source

func cutting() []Entry {
	return []Entry{
		{ID: "gilmore1961", Author: "Gilmore & Gomory", Title: "A linear programming approach to the cutting-stock problem, Oper. Res. 9", Year: "1961", Where: "p. 849-859", Note: "column generation over cutting patterns"},
		{ID: "gilmore1965", Author: "Gilmore & Gomory", Title: "Multistage cutting stock problems of two and more dimensions, Oper. Res. 13", Year: "1965", Where: "p. 94-120", Note: "sheets by edge-to-edge cuts; from memory"},
		{ID: "farley1990", Author: "Farley", Title: "A note on bounding a class of linear programming problems, including cutting stock problems, Oper. Res. 38", Year: "1990", Where: "p. 922-923", Note: "a valid bound from any prices; from memory"},
		{ID: "bpplib2018", Author: "Delorme, Iori & Martello", Title: "BPPLIB: a library for bin packing and cutting stock problems, Optimization Letters 12", Year: "2018", Where: "p. 235-250", Note: "instances read in tests, never copied (CC BY-NC-ND 4.0)"},
	}
}
