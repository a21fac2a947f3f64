# Two visits to the same boxes, one row a box: what R's survey package makes of their changes. Reads stratum,N,t1,m1,t2,m2.
suppressMessages(library(survey))
d <- read.csv(commandArgs(trailingOnly = TRUE)[1], colClasses = c(stratum = "character"))
d$box <- seq_len(nrow(d))
out <- function(name, c) cat(name, format(as.numeric(coef(c)), digits = 17), format(as.numeric(SE(c)), digits = 17), sep = ",", fill = TRUE)
panel <- svydesign(ids = ~box, strata = ~stratum, fpc = ~N, data = d)
totals <- svytotal(~t1 + m1 + t2 + m2, panel)
out("again,total", svycontrast(totals, c(t2 = 1, t1 = -1)))
out("again,share", svycontrast(totals, quote(t2 / m2 - t1 / m1)))
both <- rbind(
  data.frame(visit = 1, stratum = d$stratum, N = d$N, t = d$t1, m = d$m1),
  data.frame(visit = 2, stratum = d$stratum, N = d$N, t = d$t2, m = d$m2))
both$row <- seq_len(nrow(both)); both$cell <- paste(both$visit, both$stratum)
for (v in 1:2) { both[[paste0("t", v)]] <- both$t * (both$visit == v); both[[paste0("m", v)]] <- both$m * (both$visit == v) }
apart <- svydesign(ids = ~row, strata = ~cell, fpc = ~N, data = both)
totals <- svytotal(~t1 + m1 + t2 + m2, apart)
out("apart,total", svycontrast(totals, c(t2 = 1, t1 = -1)))
out("apart,share", svycontrast(totals, quote(t2 / m2 - t1 / m1)))
