"""Where paper is made, whoever reads it: text fit for print, drawings to scale, one PDF."""
