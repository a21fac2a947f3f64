# Writes api_*.csv (the data) and r_survey_api.csv (what R's survey package makes of it).
# Made with R 4.2.2 and survey 4.1-1: Rscript api.R, in this folder.
#
# The data: California Department of Education, Academic Performance Index 2000, a public record of a state agency, in
# the samples that R's package distributes as data(api); only the columns used here. Weights come from the frame counts
# alone (the package's own pw are rounded to single precision).
suppressMessages(library(survey))
data(api)
options(digits = 17, survey.lonely.psu = "fail")
num <- function(x) format(x, digits = 17, trim = TRUE)
keep <- function(d, cols, file) {
  out <- data.frame(d[, cols], api00 = d$api00, enroll = d$enroll, apistu = d$api.stu, wide = as.integer(d$sch.wide == "Yes"),
                    noell = as.integer(d$ell == 0), stype = as.character(d$stype))
  write.csv(out, file, row.names = FALSE, quote = FALSE, na = "", eol = "\n")
}
keep(apisrs, c("snum", "fpc"), "api_srs.csv")
keep(apistrat, c("snum", "fpc"), "api_strat.csv")
keep(apiclus1, c("dnum", "snum", "fpc"), "api_clus1.csv")
keep(apiclus2, c("dnum", "snum", "fpc1", "fpc2"), "api_clus2.csv")

designs <- list(
  srs = svydesign(id = ~1, fpc = ~fpc, data = apisrs),
  strat = svydesign(id = ~1, strata = ~stype, fpc = ~fpc, data = apistrat),
  clus1 = svydesign(id = ~dnum, fpc = ~fpc, data = apiclus1),
  clus2 = svydesign(id = ~dnum + snum, fpc = ~fpc1 + fpc2, data = apiclus2))
rows <- list()
add <- function(design, quantity, est, se, deff = NA, low = NA, high = NA)
  rows[[length(rows) + 1]] <<- data.frame(design, quantity, est = num(as.numeric(est)), se = num(as.numeric(se)), deff = num(as.numeric(deff)), low = num(as.numeric(low)), high = num(as.numeric(high)), row.names = NULL)
for (name in names(designs)) {
  d <- update(designs[[name]], one = 1, wide = as.numeric(sch.wide == "Yes"), noell = as.numeric(ell == 0))
  df <- degf(d); t <- qt(.975, df); n <- nrow(d)
  add(name, "df", df, NA)
  m <- svytotal(~one, d); add(name, "items", coef(m), SE(m), NA, coef(m) - t * SE(m), coef(m) + t * SE(m))
  m <- svymean(~api00, d, deff = TRUE); add(name, "mean api00", coef(m), SE(m), deff(m), confint(m, df = df)[1], confint(m, df = df)[2])
  m <- svytotal(~api00, d); add(name, "total api00", coef(m), SE(m), NA, confint(m, df = df)[1], confint(m, df = df)[2])
  m <- svymean(~enroll, d, na.rm = TRUE); add(name, "mean enroll", coef(m), SE(m))
  for (v in c("wide", "noell")) {
    f <- as.formula(paste0("~", v))
    m <- svymean(f, d, deff = TRUE); p <- as.numeric(coef(m)); s <- as.numeric(SE(m))
    add(name, paste("share", v), p, s, deff(m))
    b <- svyciprop(f, d, method = "beta"); add(name, paste("beta", v), p, s, NA, confint(b)[1], confint(b)[2])
    b <- svyciprop(f, d, method = "xlogit"); add(name, paste("logit", v), p, s, NA, confint(b)[1], confint(b)[2])
    ne <- p * (1 - p) / s^2  # the formula of method = "wilson" in survey 4.5
    w <- (p + t^2 / (2 * ne) + c(-1, 1) * t / (2 * ne) * sqrt(4 * ne * p * (1 - p) + t^2)) / (1 + t^2 / ne)
    add(name, paste("wilson", v), p, s, NA, w[1], w[2])
    m <- svytotal(f, d); add(name, paste("count", v), coef(m), SE(m))
  }
  for (k in c("E", "H", "M")) {
    dd <- update(d, own = as.numeric(stype == k))
    m <- svyratio(~I(api00 * own), ~own, dd); add(name, paste("mean api00 of", k), coef(m), SE(m))
    m <- svytotal(~I(api00 * own), dd); add(name, paste("total api00 of", k), coef(m), SE(m))
  }
}
data(mu284)
d <- update(svydesign(id = ~id1 + id2, fpc = ~n1 + n2, data = mu284), one = 1)
m <- svytotal(~y1, d); add("mu284", "total y1", coef(m), SE(m), NA, confint(m, df = 4)[1], confint(m, df = 4)[2])
m <- svymean(~y1, d); add("mu284", "mean y1", coef(m), SE(m))
write.csv(do.call(rbind, rows), "r_survey_api.csv", row.names = FALSE, quote = FALSE, eol = "\n")
