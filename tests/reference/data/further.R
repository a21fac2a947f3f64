# Prints the sample of 40 counties of data(election) in R's survey package with its joint inclusion probabilities, and what the
# package makes of it: name,values...
suppressMessages(library(survey))
data(election)
say <- function(name, x) cat(name, format(as.numeric(x), digits = 17, trim = TRUE), sep = ",", fill = FALSE, "\n")
for (v in c("Bush", "Kerry", "Nader")) say(v, election_pps[[v]])
say("p", election_pps$p)
for (i in 1:40) say("joint", election_jointprob[i, ])
f <- ~Bush + Kerry + Nader
emit <- function(name, d) { m <- svytotal(f, d); say(name, c(coef(m), SE(m))) }
emit("hansen-hurwitz", svydesign(id = ~1, probs = ~p, data = election_pps))
emit("horvitz-thompson", svydesign(id = ~1, fpc = ~p, data = election_pps, pps = ppsmat(election_jointprob)))
emit("sen-yates-grundy", svydesign(id = ~1, fpc = ~p, data = election_pps, pps = ppsmat(election_jointprob), variance = "YG"))
# Quantiles and covariances of the api samples.
data(api)
d <- svydesign(id = ~dnum + snum, fpc = ~fpc1 + fpc2, data = apiclus2)
say("covariance", vcov(svytotal(~api00 + api.stu, d)))
say("covariance of means", vcov(svymean(~api00 + api.stu, d)))
m <- svyby(~api00, ~stype, d, svymean, covmat = TRUE)
x <- svycontrast(m, c(E = 1, H = -1))
say("difference", c(coef(x), SE(x)))
s <- svydesign(id = ~1, strata = ~stype, fpc = ~fpc, data = apistrat)
for (q in c(.1, .25, .5, .75, .9)) {
  x <- svyquantile(~api00, s, q, ci = TRUE, qrule = "math", interval.type = "xlogit")
  say(paste("quantile", q), c(coef(x), confint(x)))
}
