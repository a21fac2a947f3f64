# Reads surveys (boxes.csv, items.csv, rule) from the folders given and prints what R's survey package makes of them:
# survey,quantity,estimate,se,low,high with 17 digits.
suppressMessages(library(survey))
out <- character(0)
num <- function(x) ifelse(is.na(x), "NA", format(as.numeric(x), digits = 17, trim = TRUE))
for (folder in commandArgs(trailingOnly = TRUE)) {
  boxes <- read.csv(file.path(folder, "boxes.csv"), colClasses = c(stratum = "character", box_id = "character"))
  items <- read.csv(file.path(folder, "items.csv"), colClasses = c(stratum = "character", box_id = "character", item_id = "character"))
  rule <- readLines(file.path(folder, "rule"))
  options(survey.lonely.psu = if (rule == "adjust") "certainty" else rule)
  emit <- function(quantity, est, se, low = NA, high = NA)
    out[[length(out) + 1]] <<- paste(basename(folder), quantity, num(est), num(se), num(low), num(high), sep = ",")

  columns <- setdiff(names(items), c("stratum", "box_id", "item_id"))
  conditions <- columns[substr(columns, 1, 4) == "cond"]
  reached <- boxes[boxes$sampled == 1 & boxes$status != "not_reached", ]
  N <- table(boxes$stratum); n <- table(reached$stratum)
  rows <- list()
  for (i in seq_len(nrow(reached))) {
    b <- reached[i, ]
    own <- items[items$stratum == b$stratum & items$box_id == b$box_id, ]
    M <- if (b$status == "out_of_scope") 0 else b$items_in_box
    if (M == 0) {
      # A box with nothing in it is one row that is no item.
      own <- items[1, ]; own$item_id <- "none"; own[columns] <- NA
      own$real <- 0; own$M <- 1
    } else if (nrow(own) == 0 || own$item_id[1] == "*") {
      # An answer for a whole box is all its items having it; nothing known is all its items unknown.
      if (nrow(own) == 0) { own <- items[1, ]; own[columns] <- NA }
      own <- own[rep(1, M), ]; own$item_id <- paste0("i", seq_len(M)); own$real <- 1; own$M <- M
    } else { own$real <- 1; own$M <- M }
    own$size <- b$size / own$M
    own$stratum <- b$stratum; own$box <- paste(b$stratum, b$box_id); own$stopped <- b$status == "stopped"
    own$N <- as.numeric(N[b$stratum])
    rows[[i]] <- own
  }
  d <- do.call(rbind, rows)
  d$item <- seq_len(nrow(d))
  for (v in columns) {
    d[[paste0("k.", v)]] <- as.numeric(!is.na(d[[v]]) & d$real == 1)
    d[[paste0("y.", v)]] <- ifelse(d[[paste0("k.", v)]] == 1, d[[v]], 0)
    d[[paste0("j.", v)]] <- as.numeric(d$real == 1 & (d[[paste0("k.", v)]] == 1 | !d$stopped))
  }
  design <- svydesign(id = ~box + item, strata = ~stratum, fpc = ~N + M, data = d)
  lonely <- names(n)[n == 1 & N[names(n)] > 1]
  df <- sum(n) - length(n)
  w <- weights(design)
  # "adjust" as the literature has it; the package's own centres totals at zero before version 4.3.
  adjusted <- function(z) {
    if (rule != "adjust" || length(lonely) == 0) return(0)
    sum(sapply(lonely, function(h) (1 - 1 / N[[h]]) * (sum((w * z)[d$stratum == h]) - sum(w * z) / sum(n))^2))
  }
  se_total <- function(z) {
    made <- svytotal(z, design)
    sqrt(as.numeric(vcov(made)) + adjusted(z))
  }
  # Unknown answers of boxes that were not stopped are taken as missing at random within their stratum, where two boxes of it
  # that were not stopped tell of it, and are pooled else. The survey package linearises by itself, from totals by stratum; z is
  # for what it cannot do (adjust, sizes). above and below are the share's, total is that of all judged.
  filled <- function(y, k, j) {
    h <- factor(d$stratum); each <- function(x) tapply(w * x, h, sum)
    Y <- each(y); K <- each(k); J <- each(j)
    tell <- tapply(ifelse(k > 0 & !d$stopped, d$box, NA), h, function(b) length(unique(b[!is.na(b)])))
    own <- nlevels(h) > 1 & tell >= 2 & K > 0 & J > K * (1 + 1e-12)
    r <- ifelse(own, Y / K, 0); a <- ifelse(own, J / K, 1)
    D <- sum(ifelse(own, J, K)); p <- sum(a * Y) / D; at <- as.character(h)
    z <- ifelse(own[at], a[at] * k * (y - r[at]) + (r[at] - p) * j, k * (y - p)) / D
    rise <- sum(J) / D
    made <- list(p = p, z = z, D = D, own = any(own), a = a[at], K = sum(K),
      total = p * sum(J), z_total = ifelse(rep(sum(J) > sum(K), length(y)), sum(J) * z + p * j, y))
    if (!made$own || rule == "adjust") return(made)
    names <- paste0("h", seq_len(nlevels(h)))
    parts <- lapply(seq_along(names), function(i) (as.integer(h) == i) * cbind(y, k, j))
    parts <- do.call(cbind, parts); colnames(parts) <- paste0(rep(names, each = 3), c("y", "k", "j"))
    sums <- svytotal(parts, design)
    plus <- function(terms) paste(terms, collapse = " + ")
    above <- plus(ifelse(own, sprintf("%sy / %sk * %sj", names, names, names), paste0(names, "y")))
    below <- plus(ifelse(own, paste0(names, "j"), paste0(names, "k")))
    share <- sprintf("(%s) / (%s)", above, below)
    one <- svycontrast(sums, parse(text = share)[[1]])
    all <- svycontrast(sums, parse(text = sprintf("%s * (%s)", share, plus(paste0(names, "j"))))[[1]])
    c(made, list(se = sqrt(as.numeric(vcov(one))), se_total = sqrt(as.numeric(vcov(all)))))
  }
  t_limits <- function(est, se) if (df > 0) est + c(-1, 1) * qt(.975, df) * se else c(NA, NA)
  se <- se_total(d$real); est <- sum(w * d$real); l <- t_limits(est, se)
  emit("items", est, se, l[1], l[2])
  emit("df", df, NA)
  # A ratio total on the boxes' sizes: X T / x, with the variance of X (T - T x) / x, x spread over the items of its box.
  of_frame <- sum(boxes$size); of_sample <- sum(w * d$size)
  ratio <- function(est, z) list(est * of_frame / of_sample, se_total(of_frame / of_sample * (z - est / of_sample * d$size)))
  r <- ratio(est, d$real); emit("ratio items", r[[1]], r[[2]])
  for (v in columns) {
    k <- d[[paste0("k.", v)]]; y <- d[[paste0("y.", v)]]; j <- d[[paste0("j.", v)]]
    if (sum(k) == 0) next
    f <- filled(y, k, j); p <- f$p
    if (f$own) {
      v2 <- if (rule == "adjust") se_total(f$z)^2 else f$se^2
      emit(paste0("filled ", v), p, sqrt(v2))
    } else {
      r <- svyratio(y, k, design); p <- as.numeric(coef(r))
      v2 <- as.numeric(vcov(r)) + adjusted((y - p * k) / sum(w * k))
    }
    s <- sqrt(v2)
    if (v %in% conditions) emit(paste0("share ", v), p, s) else { l <- t_limits(p, s); emit(paste0("mean ", v), p, s, l[1], l[2]) }
    if (rule != "adjust" && s > 0 && f$own) {
      # The package has no such mean; what it is compared with is that of as many items at random.
      spread <- sum(w * f$a * k * (y - p)^2) / f$D
      emit(paste0("deff ", v), v2 / (spread / (sum(k) - 1) * (1 - sum(k) / f$K)), NA)
    } else if (rule != "adjust" && s > 0) {
      m <- svymean(as.formula(paste0("~", v)), subset(design, k == 1), deff = TRUE)
      emit(paste0("deff ", v), deff(m), NA)
    }
    emit(paste0("total ", v), f$total, if (is.null(f$se_total)) se_total(f$z_total) else f$se_total)
    r <- ratio(f$total, f$z_total); emit(paste0("ratio ", v), r[[1]], r[[2]])
    if (v %in% conditions && s > 1e-9 && df > 0) {
      rows_n <- sum(d$real == 1 & !(d$stopped & k == 0))
      t <- qt(.975, df); q <- 1 - p
      x <- qlogis(p) + c(-1, 1) * t * s / (p * q)
      emit(paste0("logit ", v), p, s, plogis(x[1]), plogis(x[2]))
      ne <- p * q / v2 * (qt(.025, rows_n - 1) / qt(.025, df))^2
      emit(paste0("beta ", v), p, s, qbeta(.025, ne * p, ne * q + 1), qbeta(.975, ne * p + 1, ne * q))
      ne <- p * q / v2
      l <- (p + t^2 / (2 * ne) + c(-1, 1) * t / (2 * ne) * sqrt(4 * ne * p * q + t^2)) / (1 + t^2 / ne)
      emit(paste0("wilson ", v), p, s, l[1], l[2])
    }
    if (length(lonely) == 0 && rule != "adjust") for (h in names(n)) {
      own <- as.numeric(d$stratum == h)
      if (sum(own * k) == 0) next
      r <- svyratio(y * own, k * own, design)
      emit(paste0("stratum ", v, " ", h), coef(r), sqrt(as.numeric(vcov(r))))
    }
  }
  # The mean of the quantity over the items that have the first condition.
  member <- d$k.cond1 == 1 & d$y.cond1 == 1
  own <- member & d$k.hours == 1
  if (rule != "adjust" && any(own)) {
    f <- filled(d$y.hours * own, as.numeric(own), as.numeric(member & (own | !d$stopped)))
    if (f$own) {
      emit("domain hours cond1", f$p, f$se)
    } else {
      r <- svyratio(d$y.hours * own, as.numeric(own), design)
      emit("domain hours cond1", coef(r), sqrt(as.numeric(vcov(r))))
    }
  }
}
cat(out, sep = "\n")
