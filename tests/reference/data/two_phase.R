# Prints two-phase samples of the api data (item,design,stratum,cluster,fpc,class,read,api00,api99,meals) and what R's survey package
# makes of them (made,design,estimator,total,se,phase 1,phase 2,mean,se). Some two fifths of the schools were read, by a rule.
# Method "full" is the one of Särndal, Swensson and Wretman; "approx" and "simple" of version 4.1-1 give a second part that lacks a
# first-phase weight (50 times too small in clus1). Of a two-stage first phase "full" gives no number in that version.
suppressMessages(library(survey))
data(api)
num <- function(x) format(as.numeric(x), digits = 17, trim = TRUE)
read <- function(d) ((d$snum * 7919) %% 101) < 45
apiclus1 <- apiclus1[order(apiclus1$dnum, apiclus1$snum), ]
designs <- list(
  srs = twophase(id = list(~1, ~1), strata = list(NULL, ~one), fpc = list(~fpc, NULL), subset = ~read, method = "full",
    data = transform(apisrs, one = 1, read = read(apisrs))),
  `srs-classes` = twophase(id = list(~1, ~1), strata = list(NULL, ~stype), fpc = list(~fpc, NULL), subset = ~read, method = "full",
    data = transform(apisrs, read = read(apisrs))),
  `strat-classes` = twophase(id = list(~1, ~1), strata = list(~stype, ~sch.wide), fpc = list(~fpc, NULL), subset = ~read,
    method = "full", data = transform(apistrat, read = read(apistrat))),
  clus1 = twophase(id = list(~dnum, ~1), strata = list(NULL, ~one), fpc = list(~fpc, NULL), subset = ~read, method = "full",
    data = transform(apiclus1, one = 1, read = read(apiclus1))),
  `clus1-classes` = twophase(id = list(~dnum, ~1), strata = list(NULL, ~stype), fpc = list(~fpc, NULL), subset = ~read,
    method = "full", data = transform(apiclus1, read = read(apiclus1))))
layout <- list(srs = c(NA, "snum", NA), `srs-classes` = c(NA, "snum", "stype"), `strat-classes` = c("stype", "snum", "sch.wide"),
  clus1 = c(NA, "dnum", NA), `clus1-classes` = c(NA, "dnum", "stype"))
for (name in names(designs)) {
  plain <- designs[[name]]
  d <- plain$phase1$full$variables
  column <- function(which) if (is.na(which)) rep("all", nrow(d)) else as.character(d[[which]])
  write.table(data.frame("item", name, column(layout[[name]][1]), column(layout[[name]][2]), d$fpc, column(layout[[name]][3]),
    as.integer(d$read), d$api00, d$api99, d$meals), sep = ",", quote = FALSE, row.names = FALSE, col.names = FALSE)
  made <- list(expansion = plain, ratio = calibrate(plain, ~api99 - 1, phase = 2, variance = 1),
    regression = calibrate(plain, ~api99, phase = 2), regression2 = calibrate(plain, ~api99 + meals, phase = 2))
  for (by in names(made)) {
    total <- svytotal(~api00, made[[by]])
    phases <- attr(vcov(total), "phases")
    mean <- svymean(~api00, made[[by]])
    cat("made", name, by, num(coef(total)), num(SE(total)), num(phases$phase1), num(phases$phase2), num(coef(mean)), num(SE(mean)),
      sep = ",", fill = FALSE)
    cat("\n")
  }
}
