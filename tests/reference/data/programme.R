# Reads the items of several collections' surveys (survey,stratum,box,item,N,M,y,c; K collections listed) and prints what R's survey
# package makes of them: mode,figure,estimate,se.
suppressMessages(library(survey))
words <- commandArgs(trailingOnly = TRUE)
d <- read.csv(words[1], colClasses = c(survey = "character", stratum = "character", box = "character"))
d$K <- as.numeric(words[2]); d$one <- 1; d$item <- seq_len(nrow(d))
d$own <- paste(d$survey, d$stratum); d$ubox <- paste(d$own, d$box)
d$n <- ave(seq_len(nrow(d)), d$own, FUN = function(i) length(unique(d$ubox[i])))
d$m <- ave(seq_len(nrow(d)), d$ubox, FUN = length)
d$w <- d$N / d$n * d$M / d$m
designs <- list(
  strata = svydesign(id = ~ubox + item, strata = ~own, fpc = ~N + M, data = d),
  listed = svydesign(id = ~survey + ubox + item, strata = ~one + own + ubox, fpc = ~K + N + M, data = d),
  unlisted = svydesign(id = ~survey, weights = ~w, data = d))
num <- function(x) format(as.numeric(x), digits = 17, trim = TRUE)
for (mode in names(designs)) {
  x <- designs[[mode]]
  emit <- function(figure, m) cat(mode, figure, num(coef(m)), num(SE(m)), sep = ",", fill = TRUE)
  if (mode != "unlisted") { emit("items", svytotal(~one, x)); emit("total", svytotal(~y, x)); emit("count", svytotal(~c, x)) }
  emit("mean", svymean(~y, x)); emit("share", svymean(~c, x))
  cat(mode, "df", degf(x), 0, sep = ",", fill = TRUE)
}
