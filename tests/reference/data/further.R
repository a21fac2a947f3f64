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
# Post-stratification, as in the package's examples of postStratify and with two stages.
known <- data.frame(stype = c("E", "H", "M"), Freq = c(4421, 755, 1018))
for (which in c("clus1", "clus2")) {
  d <- if (which == "clus1") svydesign(id = ~dnum, fpc = ~fpc, weights = ~pw, data = apiclus1) else
    svydesign(id = ~dnum + snum, fpc = ~fpc1 + fpc2, data = apiclus2)
  p <- postStratify(d, ~stype, known)
  for (v in c("enroll", "api.stu")) if (!any(is.na(p$variables[[v]]))) {
    f <- as.formula(paste0("~", v))
    m <- svymean(f, p); t <- svytotal(f, p)
    say(paste("post-stratified", which, v), c(coef(m), SE(m), coef(t), SE(t)))
  }
  m <- svymean(~api00, p)
  say(paste("post-stratified", which, "api00"), c(coef(m), SE(m)))
}
